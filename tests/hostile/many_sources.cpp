// Sources with much of something, each within the bounds of a file and of sentences or just past them.
#include "tests/hostile/sources.h"

namespace betony::hostile {
namespace {

constexpr std::size_t most_sentences = 100000 / smaller;
constexpr std::size_t most_practices = 10000 / smaller;

std::string number(std::size_t i) { return std::to_string(i); }

// A name with `i` in it, in letters: "f baa", so that names share their beginnings.
std::string name(std::string_view begin, std::size_t i) {
  std::string out(begin);
  out += ' ';
  do {
    out += static_cast<char>('a' + i % 26);
    i /= 26;
  } while (i > 0);
  return out;
}

std::string findings(std::size_t count) {
  return counted(count, [](std::size_t i) { return "Finding " + name("f", i) + " is yes or no.\n"; });
}

std::string one_practice(std::size_t sentences, const std::function<std::string(std::size_t)>& sentence) {
  return opening() + "Practice x.\n" + counted(sentences, sentence);
}

std::string practices(std::size_t count, std::string_view sentences) {
  return opening() + counted(count, [&](std::size_t i) { return "Practice " + name("p", i) + ".\n" + std::string(sentences); });
}

constexpr std::string_view nine_sentences =
    "Indicated in fever. Indicated in stiff knees. Allowed in cough is dry. Discouraged in chill. "
    "Contraindicated in age over 100. Caution in cold feet: \"Slowly.\" Dose 1 to 2 min. Takes 5 min. Otherwise allowed.\n";

}  // namespace

std::vector<Shape> many_sentences() {
  const std::size_t room = most_sentences - 9;  // for what stands above
  return {
      {"one practice with 100,000 sentences alike",
       [=] { return one_practice(room, [](std::size_t) { return "Indicated in fever.\n"; }); }},
      {"one practice with 100,000 sentences over one number",
       [=] {
         return one_practice(room, [](std::size_t i) {
           return std::string(i % 2 ? "Indicated" : "Contraindicated") + " in age from " + number(i % 60) + " to " +
                  number(i % 60 + i / 60 % 50) + ".\n";
         });
       }},
      {"one practice with 100,000 sentences over parts of an hour",
       [=] {
         return one_practice(room, [](std::size_t i) {
           return std::string(i % 3 ? "Indicated" : "Contraindicated") + " in last meal under 0." + number(100000 + i) + " h ago.\n";
         });
       }},
      {"one practice with 100,000 cautions",
       [=] {
         return one_practice(room, [](std::size_t i) { return "Caution in age over " + number(i % 100) + ": \"" + number(i) + "\".\n"; });
       }},
      {"10,000 practices with nine sentences each", [] { return practices(most_practices - 1000 / smaller, nine_sentences); }},
      {"10,000 practices with none", [] { return practices(most_practices, ""); }},
      {"one group of 5,000 practices with 5,000 sentences",
       [] {
         const std::size_t count = 5000 / smaller;
         return practices(count, "") + "Group g holds " + counted(count, [](std::size_t i) { return name("p", i); }, ", ") +
                ".\nEvery practice in g.\n" +
                counted(count, [](std::size_t i) { return "Indicated in age over " + number(i % 110) + ".\n"; });
       }},
      {"100,000 findings that nothing uses", [=] { return opening() + findings(room); }},
      {"one more sentence than fit",
       [] { return one_practice(100000, [](std::size_t) { return "Indicated in fever.\n"; }); }},
      {"one more practice than fit", [] { return practices(10001, ""); }},
  };
}

std::vector<Shape> many_rows() {
  const std::size_t room = most_sentences - 9;
  const auto header = [](std::size_t columns, std::string_view follows) {
    return counted(columns, [](std::size_t i) { return name("n", i) + " is a whole number from 0 to 100000,"; }) + std::string(follows) + "\n";
  };
  const auto range = [](std::size_t low, std::size_t high) { return number(low) + ".." + number(high) + ","; };
  return {
      {"a choice by 100,000 rows, no two alike",
       [=] { return header(1, "Choice lamp") + counted(room, [&](std::size_t i) { return range(i, i) + (i % 3 ? "red\n" : "green\n"); }); }},
      {"a choice by 100,000 rows that lie over one another",
       [=] {
         return header(2, "Choice lamp") + counted(room, [&](std::size_t i) {
                  return range(i / 2, i / 2 + 40000) + range(i * 7919 % 60000, i * 7919 % 60000 + 30000) + (i % 3 ? "red\n" : "green\n");
                });
       }},
      {"a choice by 100,000 rows that ask nothing", [=] { return header(1, "Choice lamp") + counted(room, [](std::size_t i) { return i % 3 ? ",red\n" : ",green\n"; }); }},
      {"a practice by 100,000 rows",
       [=] { return header(1, "Practice x") + counted(room, [&](std::size_t i) { return range(i, i + 5) + (i % 3 ? "advised\n" : "withheld\n"); }); }},
      {"16 MiB of rows", [=] { return filled(header(1, "Practice x"), "1..2,advised\n", ""); }},
      {"a table of very many columns", [=] { return header(huge / 64, "Practice x") + "1\n"; }},
  };
}

std::vector<Shape> many_of_a_kind() {
  const std::size_t thousands = 5000 / smaller, tens = 50000 / smaller;
  return {
      {"a practice over 5,000 findings, one a sentence",
       [=] {
         return findings(thousands) + one_practice(thousands, [](std::size_t i) { return "Indicated in " + name("f", i) + ".\n"; });
       }},
      {"a practice over 5,000 findings in one list",
       [=] {
         return opening() + findings(thousands) + "Practice x. Indicated in any of " +
                counted(thousands, [](std::size_t i) { return name("f", i); }, ", ") + ". Otherwise allowed.";
       }},
      {"at least 2,500 of 5,000 findings",
       [=] {
         return opening() + findings(thousands) + "Practice x. Indicated in at least " + number(thousands / 2) + " of " +
                counted(thousands, [](std::size_t i) { return name("f", i); }, ", ") + ". Otherwise allowed.";
       }},
      {"a finding of 50,000 values, each asked for",
       [=] {
         return "Finding f is one of " + counted(tens, [](std::size_t i) { return name("v", i); }, ", ") + ".\n" +
                one_practice(tens, [](std::size_t i) { return "Indicated in f is " + name("v", i) + ".\n"; });
       }},
      {"a grade of 50,000 steps, each asked for",
       [=] {
         return "Finding f is a grade of " + counted(tens, [](std::size_t i) { return name("v", i); }, ", ") + ".\n" +
                one_practice(tens, [](std::size_t i) { return "Indicated in f at least " + name("v", i) + ".\n"; });
       }},
      {"an any-of finding of 50,000 items",
       [=] {
         return opening() + "Finding f is any of " + counted(tens, [](std::size_t i) { return name("v", i); }, ", ") +
                ".\nPractice x. Indicated in v a. Otherwise allowed.\n";
       }},
      {"2,000 practices that share 2,000 doses",
       [] {
         const std::size_t count = 2000 / smaller;
         return practices(count, "Indicated.\n") + "Every practice.\n" + counted(count, [](std::size_t i) {
                  return "Dose " + number(i % 50 + 1) + " to " + number(i % 50 + 60) + " min in age over " + number(i % 110) + ".\n";
                });
       }},
      {"3,000 practices that each keep apart from all, and need all",
       [] {
         const std::size_t count = 3000 / smaller;
         const std::string all = counted(count, [](std::size_t i) { return name("p", i); }, ", ");
         return practices(count, "Indicated.\n") + "Every practice.\nNever with " + all + ".\nNeeds " + all + ".\nApart from " + all + " by 20 min.\n";
       }},
      {"a choice of 5,000 values that meet",
       [=] {
         return opening() + "Choice c is one of " + counted(thousands, [](std::size_t i) { return name("v", i); }, ", ") + ".\n" +
                counted(thousands, [](std::size_t i) { return "Take " + name("v", i) + " in age over " + number(i % 100) + ".\n"; });
       }},
      {"50,000 labels, and 50,000 that go against them",
       [=] {
         return opening() + "Practice x.\n" +
                counted(tens, [](std::size_t i) { return "Contraindicated in fever, called " + name("b", i) + ".\n"; }) +
                counted(tens - 20, [](std::size_t i) { return "Indicated in chill, despite " + name("b", i) + ".\n"; });
       }},
      {"one sentence that goes against 50,000",
       [=] {
         return opening() + "Practice x.\n" +
                counted(tens, [](std::size_t i) { return "Contraindicated in fever, called " + name("b", i) + ".\n"; }) +
                "Indicated in chill" + counted(tens, [](std::size_t i) { return ", despite " + name("b", i); }) + ".\n";
       }},
      {"a profile with 5,000 items",
       [=] {
         return opening() + findings(thousands) + "Practice x. Indicated in fever. Otherwise allowed.\nProfile \"p\": " +
                counted(thousands, [](std::size_t i) { return name("f", i); }, ", ") + ", the rest as usual. Expect x allowed.";
       }},
      {"5,000 profiles that say the same, and what they expect",
       [=] {
         return opening() + "Practice x. Indicated in fever. Otherwise allowed.\n" + counted(thousands, [](std::size_t i) {
                  return "Profile \"" + number(i) + "\": fever, the rest as usual. Expect x allowed.\n";
                });
       }},
      {"20,000 profiles that answer one of 20,000 findings each",
       [=] {
         return opening() + findings(20'000) + counted(20'000, [](std::size_t i) { return "Profile \"" + number(i) + "\": " + name("f", i) + ".\n"; });
       }},
      {"the same, and a fact that each of them may break",
       [=] {
         return opening() + findings(20'000) + "It cannot be that " + name("f", 1) + " and " + name("f", 2) + ".\n" +
                counted(20'000, [](std::size_t i) { return "Profile \"" + number(i) + "\": " + name("f", i) + ".\n"; });
       }},
      {"5,000 claims that do not hold",
       [=] {
         return opening() + "Practice x. Indicated in fever. Otherwise allowed.\n" +
                counted(thousands, [](std::size_t i) { return "Claim \"" + number(i) + "\": never x is advised in age over " + number(i % 100) + ".\n"; });
       }},
      {"40 trends of any of 1,000 practices",
       [=] {
         return opening() + counted(1000, [](std::size_t i) { return "Practice " + name("p", i) + ". Indicated in age over " + number(i % 100) + ". Otherwise allowed.\n"; }) +
                counted(40, [](std::size_t i) { return "Claim \"" + number(i) + "\": more age never lowers any practice in age over " + number(i) + ".\n"; });
       }},
      {"a population of 5,000 parts",
       [=] {
         return opening() + "Finding steps is a whole number from 0 to 10000. Practice x. Indicated in fever. Otherwise allowed.\nPopulation \"p\": steps " +
                counted(thousands, [](std::size_t i) { return "from " + number(2 * i) + " to " + number(2 * i + 1) + " as 1"; }, ", ") + ".\n";
       }},
      {"5,000 facts of the background",
       [=] {
         return opening() + findings(thousands) + "Practice x. Indicated in fever. Otherwise allowed.\n" +
                counted(thousands - 1, [](std::size_t i) { return "It cannot be that " + name("f", i) + " and " + name("f", i + 1) + ".\n"; });
       }},
      {"5,000 red flags",
       [=] {
         return opening() + findings(thousands) + "Practice x. Indicated in fever. Otherwise allowed.\n" +
                counted(thousands, [](std::size_t i) { return "Refer in " + name("f", i) + ": \"Seek care.\"\n"; });
       }},
      {"1,000 schools",
       [] {
         const std::size_t count = 1000 / smaller;
         return opening() + counted(count, [](std::size_t i) {
                  return "Source s" + number(i) + " is \"s\", 1. School " + name("h", i) + " holds s" + number(i) + ".\n";
                }) + "Practice x.\n" +
                counted(count, [](std::size_t i) { return "Indicated in age over " + number(i % 100) + " [s" + number(i) + "].\n"; });
       }},
      {"names that begin alike, and are asked for at length",
       [] {
         return opening() + counted(40, [](std::size_t i) { return "Finding a" + repeat(" a", i) + " is yes or no.\n"; }) +
                "Practice x. Indicated in " + repeat("a ", 100000 / smaller) + ".\n" +
                counted(5000 / smaller, [](std::size_t i) { return "Indicated in a" + repeat(" a", i % 60) + " b.\n"; });
       }},
      {"50,000 names that are nearly right",
       [=] {
         return findings(tens - 20) +
                one_practice(tens - 20, [](std::size_t i) { return "Indicated in g" + name("f", i).substr(1) + ".\n"; });
       }},
      {"a thousand names that read as conditions",
       [] {
         return opening() + findings(1000 / smaller) + counted(1000 / smaller, [](std::size_t i) {
                  return "Finding " + name("f", i) + " and " + name("f", i / 2) + " is yes or no.\n";
                });
       }},
      {"50,000 comments between words", [=] { return opening() + "Practice x.\nIndicated in fever" + repeat(" -- c\n and chill", tens) + ".\n"; }},
  };
}

}  // namespace betony::hostile
