/* runtime/betony.h: weigh persons with a compiled ruleset, from C or anything that can call C.
 *
 *   betony_pack* pack;
 *   char why[200];
 *   if (betony_load(bytes, size, &pack, why, sizeof why) != BETONY_OK) return complain(why);
 *   betony_person* person = betony_person_new(pack);
 *   betony_tell(person, "age", "34", NULL);
 *   betony_tell(person, "weight", "154", "lb");
 *   betony_told* told = betony_weigh(person, NULL);
 *   puts(betony_caution(pack));                      // always with a verdict
 *   for (size_t p = 0; p < betony_practices(pack); ++p)
 *     printf("%s: %s\n", betony_practice(pack, p), betony_verdict_word(betony_verdict_of(told, p)));
 *   betony_told_free(told); betony_person_free(person); betony_pack_free(pack);
 *
 * States. A pack is loaded once and never changes; it outlives its persons, and a person outlives nothing:
 *
 *   bytes --betony_load--> pack --betony_person_new--> person --betony_weigh--> told --betony_told_free--> gone
 *                            |                           ^  |
 *                            |                           +--+ betony_tell, betony_forget
 *                            +--betony_weigher_new--> weigher --betony_verdicts, of persons one after another
 *                            +--betony_pack_free--> gone, once no person, no told and no weigher of it is left
 *
 * Threads   Any number may share a pack, and a weigher. A person, and what was told, belong to one thread at a time.
 * Texts     UTF-8, ended by a zero byte, owned by what handed them out and there as long as that is.
 * Errors    Calls that can fail return a betony_status, or null where memory ran out. Nothing is thrown.
 * Caution   Whatever is told of a person reports what a school teaches. It is no diagnosis and gives way to licensed care and
 *           local rules: show betony_caution, and red flags before all else.
 * Seals     A sealed pack is loaded like any other, and its seal is not examined here: betony/seal.h does that.
 * Tested by tests/unit/c_interface_test.cpp; by many threads, for long: tests/soak/
 */
#ifndef BETONY_H
#define BETONY_H

#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef struct betony_pack betony_pack;
typedef struct betony_person betony_person;
typedef struct betony_told betony_told;
typedef struct betony_weigher betony_weigher;

typedef enum {
  BETONY_OK = 0,
  BETONY_NO_PACK,        /* the bytes are no pack, or not a sound one */
  BETONY_NO_SUCH_NAME,   /* no finding, no school is called so */
  BETONY_NO_SUCH_VALUE,  /* the finding cannot have this value, or not in this unit */
  BETONY_NO_MEMORY
} betony_status;

/* Gravest first. */
typedef enum {
  BETONY_OUTSIDE = 0,    /* the person is not one of those whom the ruleset is about */
  BETONY_REFERRED,       /* a red flag fires */
  BETONY_WITHHELD,
  BETONY_DISCOURAGED,
  BETONY_ADVISED,
  BETONY_ALLOWED,
  BETONY_SILENT,
  BETONY_UNANSWERED      /* what is not told yet decides; see betony_possible */
} betony_verdict;

/* ---------------------------------------------------------------- the pack */

/* Require: `bytes` has `size` bytes; `pack` is not null; `why` has room for `room` bytes, or is null.
 * Ensure:  BETONY_OK and a pack that keeps nothing of `bytes`; or another status, *pack null, and in `why` what is wrong. */
betony_status betony_load(const void* bytes, size_t size, betony_pack** pack, char* why, size_t room);
/* Require: no person, no weigher and nothing told of it is left. Ensure: it is gone. Null is allowed. */
void betony_pack_free(betony_pack* pack);

/* Require: a pack. Ensure: a text that lives as long as the pack. */
const char* betony_title(const betony_pack* pack);
const char* betony_edition(const betony_pack* pack);
const char* betony_caution(const betony_pack* pack);
/* Require: a pack. Ensure: 1 if it was shipped though it had errors or was not settled, else 0. */
int betony_even_so(const betony_pack* pack);

/* Require: a pack; an index below the count. Ensure: counts, names, and texts that live as long as the pack. */
size_t betony_findings(const betony_pack* pack);
const char* betony_finding(const betony_pack* pack, size_t finding);
const char* betony_question(const betony_pack* pack, size_t finding);   /* "" where there is none */
const char* betony_unit(const betony_pack* pack, size_t finding);       /* "" where it has none */
size_t betony_values(const betony_pack* pack, size_t finding);          /* 0: it is told in numbers */
const char* betony_value(const betony_pack* pack, size_t finding, size_t value);
size_t betony_practices(const betony_pack* pack);
const char* betony_practice(const betony_pack* pack, size_t practice);
size_t betony_choices(const betony_pack* pack);
const char* betony_choice(const betony_pack* pack, size_t choice);
size_t betony_schools(const betony_pack* pack);
const char* betony_school(const betony_pack* pack, size_t school);

/* ---------------------------------------------------------------- a person */

/* Require: a pack. Ensure: a person of whom nothing is told; null where memory ran out. */
betony_person* betony_person_new(const betony_pack* pack);
/* Require: a person. Ensure: it is gone; what was told of it stays. */
void betony_person_free(betony_person* person);

/* Require: a person; `finding` a name or one of its other names; `value` as the language writes it ("yes", "34.5", "1 November",
 *          "never"); `unit` null, or one that the value is in ("154 lb" may also stand in `value`).
 * Ensure:  BETONY_OK and the finding has that value; or BETONY_NO_SUCH_NAME or BETONY_NO_SUCH_VALUE, and nothing has changed:
 *          betony_why(person) then tells in words what is wrong. */
betony_status betony_tell(betony_person* person, const char* finding, const char* value, const char* unit);
/* The same by index and as a number: the one that the shortest decimal writing of the double says, so 36.6 is 366/10. */
betony_status betony_tell_number(betony_person* person, size_t finding, double value, const char* unit);
/* The same for a finding that is told in words, by the index of the word; BETONY_NO_SUCH_VALUE where it has no such word. */
betony_status betony_tell_value(betony_person* person, size_t finding, size_t value);
/* Require: a person. Ensure: the finding is open again; all are, where `finding` is null. */
betony_status betony_forget(betony_person* person, const char* finding);
/* Require: a person. Ensure: why the last call about it failed; "" if it did not. Lives until the next call. */
const char* betony_why(const betony_person* person);

/* ---------------------------------------------------------------- what is told */

/* Require: a person; `school` null for the whole ruleset, or the name of one to be read alone.
 * Ensure:  what is told of the person as it is now; null where there is no such school (betony_why tells) or no memory. */
betony_told* betony_weigh(betony_person* person, const char* school);
void betony_told_free(betony_told* told);

/* Require: what was told; an index below its count. Ensure: texts that live as long as the pack. */
size_t betony_refers(const betony_told* told);
const char* betony_refer(const betony_told* told, size_t flag);         /* its text, or its words where it has none */

/* Require: what was told; a practice. */
betony_verdict betony_verdict_of(const betony_told* told, size_t practice);
int betony_with_care(const betony_told* told, size_t practice);         /* 1, 0, or -1: open, or not a matter of care */
/* The verdicts that are still possible, each with its care (1, 0; -1 off advised and allowed), gravest first; one where it is settled. */
size_t betony_possible(const betony_told* told, size_t practice);
betony_verdict betony_possible_verdict(const betony_told* told, size_t practice, size_t which, int* with_care);
/* The sentences that made it, and those that lost. */
size_t betony_because(const betony_told* told, size_t practice);
size_t betony_because_sentence(const betony_told* told, size_t practice, size_t which);
size_t betony_defeated(const betony_told* told, size_t practice);
size_t betony_defeated_sentence(const betony_told* told, size_t practice, size_t which);
size_t betony_cautions(const betony_told* told, size_t practice);
const char* betony_caution_text(const betony_told* told, size_t practice, size_t which);
/* "5 to 10 min, twice a day"; "" where there is none, or it is open. Lives as long as `told`. */
const char* betony_dose(const betony_told* told, size_t practice);
/* What fits of a choice, and what may yet fit. */
size_t betony_fits(const betony_told* told, size_t choice);
const char* betony_fit(const betony_told* told, size_t choice, size_t which);

/* ---------------------------------------------------------------- verdicts alone, of one person after another */

/* Of a set of verdicts, the bit of one that is without care, or no matter of it, and of one that is with care. */
#define BETONY_SET(verdict) (UINT32_C(1) << (verdict))
#define BETONY_SET_WITH_CARE(verdict) (UINT32_C(256) << (verdict))
#define BETONY_SET_MAY_BE_FEWER (UINT32_C(1) << 31)

/* Require: a pack; `school` null for the whole ruleset, or the name of one to be read alone.
 * Ensure:  a weigher, which tells what betony_weigh tells of verdicts, and nothing else, in a fraction of the time. It never changes. Null
 *          where there is no such school, or no memory. Made once, in up to twenty microseconds a sentence. */
betony_weigher* betony_weigher_new(const betony_pack* pack, const char* school);
/* Require: a weigher, or null. Ensure: it is gone. */
void betony_weigher_free(betony_weigher* weigher);
/* Require: a weigher, and a person of its pack; `sets` has room for one of each practice.
 * Ensure:  BETONY_OK, and the bits of sets[p] are the verdicts that are still possible: one where it is settled; none where a background
 *          fact stands against the person. BETONY_SET_MAY_BE_FEWER besides: of several some may never come. Or BETONY_NO_MEMORY. */
betony_status betony_verdicts(const betony_weigher* weigher, betony_person* person, uint32_t* sets);

/* ---------------------------------------------------------------- what to ask, and what would change it */

#define BETONY_NONE ((size_t)-1)

typedef enum {
  BETONY_FOR_NOTHING = 0,  /* nothing more can change */
  BETONY_FOR_RED_FLAGS,    /* these come first */
  BETONY_FOR_VERDICTS,
  BETONY_FOR_DETAILS       /* doses, materials and cautions of what may be done */
} betony_purpose;

/* Require: what was told. Ensure: the finding to ask for next, or BETONY_NONE; and what for. The one after which the fewest
 *          further questions are to be expected. Worked out at the first call, within some ten milliseconds. */
size_t betony_next(betony_told* told);
betony_purpose betony_next_for(betony_told* told);

/* Require: what was told; a practice; an index below the count.
 * Ensure:  the fewest answers to be told otherwise (and, where not everything is told, those to be told besides) that would
 *          change its verdict: how many there are, 0 where none can or the verdict is open; finding and value of each, as
 *          betony_tell takes it; the verdict that comes of it (BETONY_UNANSWERED where there is none). Texts live as long as `told`. */
size_t betony_change(betony_told* told, size_t practice);
size_t betony_change_finding(betony_told* told, size_t practice, size_t which);
const char* betony_change_value(betony_told* told, size_t practice, size_t which);
betony_verdict betony_change_verdict(betony_told* told, size_t practice);

/* ---------------------------------------------------------------- sentences */

/* Require: a pack; a sentence as handed out by what was told. */
const char* betony_sentence(const betony_pack* pack, size_t sentence);        /* its words */
const char* betony_sentence_label(const betony_pack* pack, size_t sentence);  /* "" where it has none */
const char* betony_sentence_file(const betony_pack* pack, size_t sentence);
uint32_t betony_sentence_line(const betony_pack* pack, size_t sentence);
size_t betony_citations(const betony_pack* pack, size_t sentence);
const char* betony_citation(const betony_pack* pack, size_t sentence, size_t which);        /* the source: "SB" */
const char* betony_citation_locus(const betony_pack* pack, size_t sentence, size_t which);  /* where in it: "2.4" */

const char* betony_verdict_word(betony_verdict verdict);                /* "advised" */

#ifdef __cplusplus
}
#endif

#endif
