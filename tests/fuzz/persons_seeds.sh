#!/bin/sh
# sh tests/fuzz/persons_seeds.sh FOLDER: writes the tables of persons that the fuzzer begins with into FOLDER: CSV and JSON
# lines about the small pack of persons_fuzz.cpp. The first byte of each is its format and the size of its pieces: even for
# CSV, odd for JSON lines; half of it is the power of two.
set -eu
mkdir -p "$1"
cd "$1"

printf '\006id,a,b,c,d,e,f\n1,yes,no,very mild,45,7,1 November\n2,no,no,none,70.3,never,29 February\n3,yes,yes,no,350,-10,31 December\n' >csv-comma
printf '\002f;e;d (g);c;b;a;id\r\n1 May;0;45000;none;YES;no;x\r\n3 june;-1/3;70400 g;No;no;yes;"y; ""z"""\r\n' >csv-semicolon
printf '\030"id","a","b","c","d","e","f"\r\n"1","yes","no","very mild","45","never","1 November"\r\n"a ""b""","no","yes","no","1","2","3 May"\n' >csv-quoted
printf '\014\357\273\277a\tb\tc\td\te\tf\n\nyes\tno\tVery  mild\t0.5 kg\t0.0\t1 January\n\t\t\t\t\t\n' >csv-tab
printf '\000id,d,a\n1,,yes\n"2\n3",45.1,perhaps\n4,1e3,no,yes\n5\n"6,7' >csv-faults
printf '\004no such,a\n1,yes\n' >csv-header
printf '\007{"id": "1", "a": true, "b": "no", "c": "no", "d": 45.5, "e": "never", "f": "1 May"}\n%s\n' \
  '{"id": 2, "a": false, "b": true, "c": "none", "d": 7.03e1, "e": -0.333, "f": "2 June"}' >json-whole
printf '\001\357\273\277{"d (g)": 45000, "a": null}\r\n\n{"c":"very\\u0020mild","d":"3 kg","e":"-1/3"}\n{"id":"\\ud83d\\udca7\\n","f":"30 February"}' >json-escapes
printf '\013{"a":true,"a":false}\n{"nobody":1}\n{"a":[1]}\n{"a":true\n{"e":1e999}\nnull\n{}\n{"a":"yes"},\n' >json-faults
