#!/bin/sh
# sh tests/drawing/browser.sh PROGRAM: draws the example teachings and hostile ones, lays them out in a browser without a screen, with the
# drawings that are kept (pictures_test.cpp), and compares the boxes of all words: none may touch another, and none may leave its drawing. The
# last line counts them.
set -eu
program=$1
top=$(cd "$(dirname "$0")/../.." && pwd)
browser=$(command -v chromium || command -v chromium-browser) || { echo "There is no chromium: sh tests/install.sh"; exit 1; }
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
page=$folder/page.html
drawn=0
draw() {
  "$program" draw "$@" -o "$folder/one.svg" 2>"$folder/said" || { grep -q "no sentences of" "$folder/said" && return 0; cat "$folder/said"; exit 1; }
  drawn=$((drawn + 1))
  { printf '<div data-name="%s">\n' "$(basename "$1") $2 ${3:-}"; cat "$folder/one.svg"; echo '</div>'; } >>"$page"
}

echo '<html><meta charset="utf-8"><body style="margin:0">' >"$page"
sh "$top/tests/drawing/hostile.sh" "$folder"
for file in "$top"/rulesets/tamberlow/tamberlow.bty "$top"/rulesets/lantern-lakes/lantern-lakes.bty "$top"/rulesets/tamberlow/earlier/tamberlow.bty \
  "$folder"/long.bty "$folder"/scripts.bty "$folder"/many.bty; do
  draw "$file" overview
  "$program" draw "$file" overview | sed -n 's/^  \([^ ].*\)$/\1/p' | sed 's/  [><*].*//; s/ *$//' >"$folder/practices"
  case "$file" in */long.bty) : >"$folder/practices" ;; esac
  while read -r practice; do
    draw "$file" graph "$practice"
    draw "$file" crossing "$practice"
  done <"$folder/practices"
done
# Verdicts and doses over findings.
long=$(sed -n 's/^Finding \(.*\) is yes or no\.$/\1/p' "$folder/long.bty" | head -n 1)
while IFS='|' read -r file what practice first second; do
  draw "$file" "$what" "$practice" "$first" ${second:+"$second"}
done <<END
$top/rulesets/tamberlow/tamberlow.bty|map|steam loft|age|loft warmth
$top/rulesets/tamberlow/tamberlow.bty|map|warm tub|skin|last meal
$top/rulesets/tamberlow/tamberlow.bty|map|steam loft|stiff shoulders|age
$top/rulesets/lantern-lakes/lantern-lakes.bty|map|lake dip|age|lake warmth
$top/rulesets/lantern-lakes/lantern-lakes.bty|map|lake dip|date|breathlessness
$top/rulesets/lantern-lakes/lantern-lakes.bty|map|noon rest|sleep debt|wakings
$top/rulesets/lantern-lakes/lantern-lakes.bty|doses|lake dip|lake warmth
$top/rulesets/tamberlow/earlier/tamberlow.bty|doses|warm tub|age
$top/rulesets/tamberlow/earlier/tamberlow.bty|doses|warm tub|skin
$folder/long.bty|map|$long bath|age|$long
$folder/scripts.bty|map|حمام بارد|عمر|ताप
$folder/many.bty|map|tide walk|sign 1|sign 2
$folder/limits.bty|map|tide walk|depth|عمر
$folder/limits.bty|map|tide walk|$long|depth
$folder/limits.bty|map|tide walk|عمر|$long
$folder/limits.bty|doses|tide walk|depth
$folder/limits.bty|doses|tide walk|$long
END
for file in "$top"/tests/drawing/golden/*.svg "$top"/rulesets/*/drawings/*.svg; do
  drawn=$((drawn + 1))
  { printf '<div data-name="%s">\n' "$(basename "$file")"; cat "$file"; echo '</div>'; } >>"$page"
done
cat >>"$page" <<'END'
<script>
let all = 0, wrong = [];
for (const svg of document.querySelectorAll('svg')) {
  const name = svg.parentElement.dataset.name, page = svg.getBoundingClientRect();
  const words = [...svg.querySelectorAll('text')].map(e => [e.textContent, e.getBoundingClientRect()]);
  all += words.length;
  words.forEach(([text, box], i) => {
    if (box.left < page.left - 1 || box.right > page.right + 1 || box.top < page.top - 1 || box.bottom > page.bottom + 1) wrong.push(name + ': outside: ' + text);
    // Lines stand closer than the highest letters of a font would need.
    words.slice(i + 1).forEach(([other, b]) => {
      if (box.left < b.right - 1 && b.left < box.right - 1 && box.top + 4 < b.bottom - 4 && b.top + 4 < box.bottom - 4) wrong.push(name + ': ' + text + ' | ' + other);
    });
  });
}
document.title = 'words ' + all + ', touching or outside ' + wrong.length + '. ' + wrong.slice(0, 20).join('; ');
</script></body></html>
END
told=$("$browser" --headless --no-sandbox --disable-gpu --user-data-dir="$folder/profile" --dump-dom "file://$page" 2>/dev/null | sed -n 's/.*<title>\(words [^<]*\).*/\1/p' | head -n 1)
echo "$drawn drawings: $told"
case "$told" in
  "words "*", touching or outside 0. "*) exit 0 ;;
esac
exit 1
