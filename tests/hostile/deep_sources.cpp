// Sources that are small, or within their bounds, but lean on themselves, grow, or ask much of the checks.
#include "tests/hostile/sources.h"

namespace betony::hostile {
namespace {

constexpr std::size_t chain = 50000 / smaller;

std::string number(std::size_t i) { return std::to_string(i); }

std::string with_practice(std::string source, std::string_view condition) {
  return opening() + source + "Practice x.\nIndicated in " + std::string(condition) + ".\nOtherwise allowed.\n";
}

// "T0 …. T1 … T0 …. T2 … T1 …": what `link` makes of each number and the one before.
std::string linked(std::size_t count, const std::function<std::string(std::string, std::string)>& link) {
  return counted(count, [&](std::size_t i) { return link("t" + number(i + 1), "t" + number(i)) + "\n"; });
}

std::string last(std::size_t count) { return "t" + number(count); }

std::string yes_no_findings(std::size_t count) {
  return counted(count, [](std::size_t i) { return "Finding f" + number(i) + " is yes or no.\n"; });
}

std::string number_findings(std::size_t count, std::string_view range) {
  return counted(count, [&](std::size_t i) { return "Finding n" + number(i) + " is a number from " + std::string(range) + ".\n"; });
}

}  // namespace

std::vector<Shape> deep_chains() {
  return {
      {"a chain of 50,000 terms",
       [] {
         return with_practice("Term t0 means fever.\n" + linked(chain, [](auto t, auto before) { return "Term " + t + " means " + before + " or chill."; }),
                              last(chain));
       }},
      {"a chain of terms told from its end",
       [] {
         return with_practice("Term t0 means fever.\n" + counted(chain, [](std::size_t i) {
                                return "Term t" + number(chain - i) + " means t" + number(chain - i - 1) + " and chill.\n";
                              }),
                              last(chain));
       }},
      {"a chain of terms of brackets 190 deep",
       [] {
         const std::string open = repeat("(fever or ", 190), close = repeat(")", 190);
         const std::size_t count = 1000 / smaller;
         return with_practice("Term t0 means fever.\n" + linked(count, [&](auto t, auto before) {
                                return "Term " + t + " means " + open + "(chill and " + before + ")" + close + ".";
                              }),
                              last(count));
       }},
      {"a circle of 50,000 terms",
       [] {
         return with_practice("Term t0 means " + last(chain) + ".\n" +
                                  linked(chain, [](auto t, auto before) { return "Term " + t + " means " + before + " or chill."; }),
                              "t0");
       }},
      {"terms that name the one before twice",
       [] {
         return with_practice("Term t0 means fever.\n" + linked(64, [](auto t, auto before) {
                                return "Term " + t + " means (" + before + " and chill) or (" + before + " and stiff knees).";
                              }),
                              last(64));
       }},
      {"a chain of 50,000 measures",
       [] {
         return with_practice("Measure t0 is age in years.\n" + linked(chain, [](auto t, auto before) { return "Measure " + t + " is " + before + " + age in years."; }),
                              last(chain) + " over 50");
       }},
      {"a chain of 50,000 tallies",
       [] {
         return with_practice("Tally t0 counts fever as 1.\n" + linked(chain, [](auto t, auto before) { return "Tally " + t + " counts " + before + " over 1 as 1, and chill as 1."; }),
                              last(chain) + " over 1");
       }},
      {"a chain of 20,000 choices",
       [] {
         const std::size_t count = 20000 / smaller;
         return opening() + "Choice t0 is one of a, b. Take a in fever. Otherwise b.\n" + linked(count, [](auto t, auto before) {
                  return "Choice " + t + " is one of a, b. Take a in " + before + " is a. Otherwise b.";
                }) + "Practice x. Indicated in " + last(count) + " is a. Otherwise allowed.\n";
       }},
      {"a chain of 50,000 groups",
       [] {
         return opening() + "Practice x. Otherwise allowed. Group t0 holds x.\n" + linked(chain, [](auto t, auto before) { return "Group " + t + " holds " + before + "."; }) +
                "Every practice in " + last(chain) + ". Indicated in fever.\n";
       }},
      {"groups that hold the one before twice",
       [] {
         return opening() + "Practices x, y. Otherwise allowed. Group t0 holds x, y. Group u0 holds x, y.\n" + counted(64, [](std::size_t i) {
                  const std::string next = number(i + 1), before = number(i);
                  return "Group t" + next + " holds t" + before + ", u" + before + ". Group u" + next + " holds u" + before + ", t" + before + ".\n";
                }) + "Every practice in t64. Indicated in fever.\n";
       }},
      {"a circle of 50,000 groups",
       [] {
         return opening() + "Practice x. Group t0 holds x, " + last(chain) + ".\n" +
                linked(chain, [](auto t, auto before) { return "Group " + t + " holds " + before + "."; });
       }},
      {"a chain of 20,000 orders, and around",
       [] {
         const std::size_t count = 9000 / smaller;
         return opening() + "Practice t0. Follows " + last(count) + ".\n" +
                linked(count, [](auto t, auto before) { return "Practice " + t + ". Follows " + before + ". Otherwise allowed."; });
       }},
      {"an order of 9,000 practices, all advised, that goes round",
       [] {
         const std::size_t count = 9000 / smaller;
         return opening() + "Practice t0. Indicated. Follows " + last(count) + ".\n" +
                linked(count, [](auto t, auto before) { return "Practice " + t + ". Indicated. Follows " + before + "."; });
       }},
      {"units made of units",
       [] {
         return opening() + "Unit t0 is 30 g.\n" + linked(chain, [](auto t, auto before) { return "Unit " + t + " is 2 " + before + "."; }) +
                "Finding w is a number of " + last(chain) + " from 0 to 1.\nPractice x. Indicated in w over 1 g. Otherwise allowed.\n";
       }},
  };
}

std::vector<Shape> great_numbers() {
  const std::string forty = repeat("9", 38), tiny = "0." + repeat("0", 37) + "1";
  return {
      {"a measure squared sixty times over",
       [] {
         return with_practice("Measure t0 is age in years.\n" + linked(60, [](auto t, auto before) { return "Measure " + t + " is " + before + " * (" + before + " / 1 years) in years."; }),
                              last(60) + " over 50");
       }},
      {"a number squared sixty times over",
       [] {
         return with_practice("Finding w is a number of kg from 0.0000001 to 9999999.\nMeasure t0 is w in kg.\n" +
                                  linked(60, [](auto t, auto before) { return "Measure " + t + " is " + before + " * (" + before + " / 1 kg) in kg."; }),
                              last(60) + " over 50");
       }},
      {"a measure of bare numbers squared sixty times over",
       [] {
         return with_practice("Measure t0 is 7 kg in kg.\n" + linked(60, [](auto t, auto before) { return "Measure " + t + " is " + before + " * (" + before + " / 1 kg) in kg."; }),
                              last(60) + " over 50");
       }},
      {"fractions that never simplify",
       [] {
         return with_practice("Finding w is a number of kg from 0.3 to 0.7.\nMeasure t0 is w in kg.\n" +
                                  linked(400, [](auto t, auto before) { return "Measure " + t + " is 1 kg / (" + before + " / 1 kg + 0.9999999) in kg."; }),
                              last(400) + " over 0.5");
       }},
      {"a step of forty digits",
       [=] {
         return opening() + "Finding w is a number from 0 to " + forty + " in steps of " + tiny + ".\nPractice x.\nIndicated in w over " + tiny +
                ".\nContraindicated in w under " + forty + ".\nOtherwise allowed.\n";
       }},
      {"a measure over two findings of very many steps",
       [] {
         return opening() + "Finding a is a whole number of m from 0 to 100000. Finding b is a whole number of m from 1 to 100000.\n"
                            "Measure m is a / b * 1 m in m.\nPractice x. Indicated in m over 1. Contraindicated in m over 2 and a over 7. Otherwise allowed.\n";
       }},
      {"a measure over findings that make just under four million points",
       [] {
         return opening() + "Finding a is a whole number of m from 1 to 2000. Finding b is a whole number of m from 1 to 2000.\n"
                            "Measure m is a / b * 1 m in m.\nPractice x. Indicated in m over 1. Contraindicated in m over 2 and a over 7. Otherwise allowed.\n";
       }},
      {"a measure over twelve findings",
       [] {
         return opening() + counted(12, [](std::size_t i) { return "Finding n" + number(i) + " is a whole number of m from 0 to 9.\n"; }) + "Measure m is " +
                counted(12, [](std::size_t i) { return "n" + number(i) + " * n" + number((i + 5) % 12); }, " + ") +
                " in m2.\nPractice x. Indicated in m over 100. Contraindicated in n3 over 5. Otherwise allowed.\n";
       }},
      {"a tally in which every sum differs",
       [] {
         std::string points = "1";
         std::string items;
         for (std::size_t i = 0; i < 60; ++i) {
           items += (i ? ", and f" : "f") + number(i) + " as " + std::to_string(std::uint64_t{1} << i);
         }
         return opening() + yes_no_findings(60) + "Tally t counts " + items +
                ".\nPractice x. Indicated in t over 576460752303423488. Contraindicated in t is 12345678901. Otherwise allowed.\n";
       }},
      {"tallies that race each other",
       [] {
         std::string out = opening() + yes_no_findings(80);
         for (std::size_t t = 0; t < 8; ++t)
           out += "Tally t" + number(t) + " counts " +
                  counted(40, [&](std::size_t i) { return "f" + number((i * (t + 3) + t) % 80) + " as " + number(i * i % 97 + 1); }, ", ") + ".\n";
         return out + "Leading l is the most of t0, t1, t2, t3, t4, t5, t6, t7 by at least 3, else even.\n"
                      "Practice x. Indicated in l is t3. Contraindicated in l is t5 and t1 over 200. Otherwise allowed.\n";
       }},
      {"thousands of thresholds of many digits",
       [] {
         return opening() + "Finding w is a number of kg from 0 to 1000.\nPractice x.\n" + counted(5000 / smaller, [](std::size_t i) {
                  return "Indicated in w under " + number(i % 1000) + ".1234567890123456789012345" + number(i) + " lb.\n";
                });
       }},
  };
}

std::vector<Shape> hard_to_settle() {
  const auto pair_up = [](std::size_t i, std::size_t n) { return "f" + number(i) + " and f" + number(i + n); };
  return {
      {"pairs that stand far apart",
       [=] {
         return opening() + yes_no_findings(120) + "Practice x.\n" + counted(60, [&](std::size_t i) {
                  return std::string(i % 2 ? "Indicated in " : "Contraindicated in ") + pair_up(i, 60) + ".\n";
                }) + "Otherwise allowed.\n";
       }},
      {"a thousand independent boxes over numbers",
       [] {
         return opening() + number_findings(20, "0 to 1000") + "Practice x.\n" + counted(1000, [](std::size_t i) {
                  const std::size_t a = i * 7919 % 20, b = i * 104729 % 20, low = i * 31 % 900;
                  return std::string(i % 3 ? "Indicated" : "Contraindicated") + " in n" + number(a) + " from " + number(low) + " to " + number(low + 90) +
                         " and n" + number(b) + " from " + number(low / 2) + " to " + number(low / 2 + 70) + ".\n";
                }) + "Otherwise allowed.\n";
       }},
      {"twenty choices of two hundred rows that overlap in heaps",
       [] {
         return opening() + number_findings(7, "0 to 9999") + counted(20, [](std::size_t c) {
                  return "Choice c" + number(c) + " is one of red, green, blue.\n" + counted(200, [c](std::size_t i) {
                           static const char* const values[] = {"red", "green", "blue"};
                           std::string row = std::string("Take ") + values[i % 3] + " in ";
                           for (std::size_t f = 0; f < 7; ++f) {
                             const std::size_t low = (i * 7919 + f * 104729 + c * 31 + i * i * f) % 5000;
                             row += (f == 0 ? "n" : " and n") + number(f) + " from " + number(low) + " to " + number(low + 1000 + (i * 613 + f * 97) % 4000);
                           }
                           return row + ".\n";
                         });
                });
       }},
      {"every indication crosses every ban",
       [] {
         return opening() + yes_no_findings(600) + "Practice x.\n" + counted(300, [](std::size_t i) {
                  return "Indicated in f" + number(i) + ".\nContraindicated in f" + number(i + 300) + ".\n";
                });
       }},
      {"facts of the background that tie everything together",
       [] {
         return opening() + yes_no_findings(200) + counted(200, [](std::size_t i) {
                  return "It cannot be that f" + number(i) + " and f" + number(i * 37 % 200) + " and not f" + number(i * 91 % 200) + ".\n";
                }) + "Practice x.\nIndicated in f0 or f100.\nContraindicated in f50 and f150.\nOtherwise allowed.\n";
       }},
      {"a riddle: no person can be, but it takes long to tell",
       [] {  // thirteen pigeons, twelve holes
         std::string out = opening();
         for (std::size_t p = 0; p < 13; ++p)
           for (std::size_t h = 0; h < 12; ++h) out += "Finding f" + number(p) + "h" + number(h) + " is yes or no.\n";
         for (std::size_t p = 0; p < 13; ++p)
           out += "It cannot be that none of " + counted(12, [&](std::size_t h) { return "f" + number(p) + "h" + number(h); }, ", ") + ".\n";
         for (std::size_t h = 0; h < 12; ++h)
           for (std::size_t p = 0; p < 13; ++p)
             for (std::size_t q = 0; q < p; ++q) out += "It cannot be that f" + number(p) + "h" + number(h) + " and f" + number(q) + "h" + number(h) + ".\n";
         return out + "Practice x. Indicated in fever. Otherwise allowed.\n";
       }},
      {"claims over a hundred practices together",
       [] {
         return opening() + yes_no_findings(100) + counted(100, [](std::size_t i) {
                  return "Practice p" + number(i) + ". Indicated in f" + number(i) + " and f" + number(i * 29 % 100) + ". Otherwise allowed.\n";
                }) + "Claim \"c\": never at least 50 of " + counted(100, [](std::size_t i) { return "p" + number(i) + " is advised"; }, ", ") + ".\n";
       }},
      {"a profile with nothing usual, over hard facts",
       [] {
         return opening() + number_findings(40, "0 to 1000") + counted(40, [](std::size_t i) {
                  return "It cannot be that n" + number(i) + " over " + number(i * 13 % 500) + " and n" + number(i * 17 % 40) + " under " + number(i * 7 % 500) + ".\n";
                }) + "Practice x. Indicated in n0 over 5. Otherwise allowed.\nProfile \"p\": fever. Expect x allowed.\n";
       }},
      {"a choice in which everything meets",
       [] {
         return opening() + yes_no_findings(60) + "Choice c is any of " + counted(60, [](std::size_t i) { return "v" + number(i); }, ", ") + ".\n" +
                counted(60, [&](std::size_t i) { return "Take v" + number(i) + " in f" + number(i) + ". Refuse v" + number(i) + " in f" + number(i * 7 % 60) + ".\n"; }) +
                "Otherwise v0.\nPractice x. Uses c. Indicated in at least 1 of c is v1, c is v2, c is v3. Otherwise allowed.\n";
       }},
      {"conditions of three thousand parts, each of which may matter",
       [] {
         const auto parts = [](std::size_t begin) { return counted(3000, [=](std::size_t i) { return "f" + number(i + begin); }, " or "); };
         return opening() + yes_no_findings(6000) + "Practice x.\nIndicated in " + parts(0) + ".\nIndicated in " + parts(3000) + ".\nOtherwise allowed.\n";
       }},
      {"a list of nine thousand values, each of which could be struck",
       [] {
         const auto values = [](std::size_t count, const char* joint) { return counted(count, [](std::size_t i) { return "v" + number(i); }, joint); };
         return opening() + "Finding place is one of " + values(10000, ", ") + ".\nPractice x.\nIndicated in place is " + values(9000, " or ") +
                ".\nContraindicated in place is not " + values(9000, " or ") + ".\nOtherwise allowed.\n";
       }},
      {"parts within parts that all say the same",
       [] {
         std::string condition = "fever and chill";
         for (std::size_t i = 0; i < 190; ++i) condition = (i % 2 ? "fever and (" : "chill or (") + condition + ")";
         return opening() + "Practice x.\n" + counted(200, [&](std::size_t i) { return "Indicated in (" + condition + ") and age over " + number(i / 2) + ".\n"; });
       }},
      {"two hundred sources, all against all",
       [] {
         const auto cited = [](std::size_t begin) { return counted(100, [=](std::size_t i) { return "S" + number(i + begin); }, "; "); };
         return opening() + counted(200, [](std::size_t i) { return "Source S" + number(i) + " is \"Book " + number(i) + "\", 1900.\n"; }) +
                counted(100, [&](std::size_t i) {
                  return "Practice p" + number(i) + ".\nIndicated in fever [" + cited(0) + "].\nContraindicated in age over " + number(i) + " [" + cited(100) + "].\n";
                });
       }},
  };
}

}  // namespace betony::hostile
