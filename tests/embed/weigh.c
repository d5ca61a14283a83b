/* weigh PACK FINDING VALUE ...: the verdicts of one person, from C. */
#include <betony.h>
#include <stdio.h>
#include <stdlib.h>

int main(int count, char** words) {
  static unsigned char bytes[1 << 20];
  char why[200];
  betony_pack* pack;
  FILE* file = count > 1 ? fopen(words[1], "rb") : NULL;
  if (!file) return 3;
  if (betony_load(bytes, fread(bytes, 1, sizeof bytes, file), &pack, why, sizeof why) != BETONY_OK) return puts(why), 2;
  betony_person* person = betony_person_new(pack);
  for (int i = 2; i + 1 < count; i += 2)
    if (betony_tell(person, words[i], words[i + 1], NULL) != BETONY_OK) return puts(betony_why(person)), 1;
  betony_told* told = betony_weigh(person, NULL);
  puts(betony_caution(pack));
  for (size_t p = 0; p < betony_practices(pack); ++p) printf("%s: %s\n", betony_practice(pack, p), betony_verdict_word(betony_verdict_of(told, p)));
  betony_told_free(told);
  betony_person_free(person);
  betony_pack_free(pack);
  return fclose(file);
}
