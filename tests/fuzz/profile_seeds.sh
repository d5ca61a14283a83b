#!/bin/sh
# sh tests/fuzz/profile_seeds.sh FOLDER: writes the profiles that the fuzzer begins with into FOLDER: persons in JSON about the
# small ruleset of profile_fuzz.cpp.
set -eu
mkdir -p "$1"
cd "$1"

printf '{}' >nobody
printf '{"fever":"no","cough":"very mild","skin":"sound","cold feet":true,"age":34}' >some
printf '{"fever":false,"cough":"none","skin":"no","cold feet":"no","poor sleep":false,"sour stomach":null,%s}' \
  '"age":61,"weight":70.3,"height":1.7,"warmth":36.6,"last meal":"never","date":"1 November","time of day":"06:30"' >whole
printf '{"weight":"154 lb","warmth":"97.7 degF","height":"5/3","last meal":"2.5 h ago","AGE":3e1}' >units
printf '\357\273\277 {"heft": 350, "date":"29 February"}\n' >mark
printf '{"fever":true,"warmth":41,"cold feet":false}' >red-flag
printf '{"fever":"no","fever":"yes"}' >twice
printf '{"heft":70,"weight":71}' >two-names
printf '{"age":[1],"nobody":{}}' >odd
printf '{"age":1}\n{"age":2}\n' >lines
printf '[{"age":1e999}]' >list
printf '\n age,fever\n1,yes\n' >table
