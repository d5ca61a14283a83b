// Small sources whose measures ask much: of high powers, with numbers of forty digits, many over the same findings.
#include "tests/hostile/sources.h"

namespace betony::hostile {
namespace {

std::string number(std::size_t i) { return std::to_string(i); }

std::string over(std::size_t findings, std::string_view type, const std::string& rest) {
  return "Ruleset \"T\", edition \"1\".\n" +
         counted(findings, [&](std::size_t i) { return "Finding n" + number(i) + " is " + std::string(type) + number(10 + i) + ".\n"; }) + rest + "Otherwise allowed.\n";
}

std::string product(std::string_view factor, std::size_t count) { return counted(count, [&](std::size_t) { return std::string(factor); }, " * "); }

// Ten measures, each with a threshold over it and one met exactly.
std::string ten(const std::function<std::string(std::size_t)>& measure) {
  return counted(10, [&](std::size_t i) { return "Measure m" + number(i) + " is " + measure(i) + ".\n"; }) + "Practice x.\n" +
         counted(10, [](std::size_t i) {
           return std::string(i % 2 ? "Indicated" : "Contraindicated") + " in m" + number(i) + " over " + number(10 + 7 * i) + ". Indicated in m" + number(i) + " is " + number(4 + i) + ".\n";
         });
}

}  // namespace

std::vector<Shape> hard_measures() {
  return {
      {"powers of twenty and more",
       [] {
         return over(2, "a number from 1 to ", "Measure m is " + product("n0", 12) + " * " + product("n1", 11) + ".\nMeasure k is " + product("n1", 20) +
                                                   " - n0.\nPractice x. Indicated in m is 123456789 and k over 7. Contraindicated in m over 5 and n0 under 3.\n");
       }},
      {"numbers of forty digits",
       [] {
         return over(2, "a number from 1 to ",
                     "Measure m is n0 * 1.234567890123456789012345678901234567891 + n1 * n1 * 9.87654321098765432109876543210987654321.\n"
                     "Measure k is n0 * n1 / 7.123456789012345678901234567890123456789.\n"
                     "Practice x. Indicated in m over 100.0000000000000000000000000000000000001 and k at most 3.333333333333333333333333333333333333333.\n"
                     "Contraindicated in n0 over 2.718281828459045235360287471352662497757. Contraindicated in m is 100.\n");
       }},
      {"ten measures over two findings",
       [] {
         return over(2, "a number from 1 to ", ten([](std::size_t i) { return "n0 * n0 * " + number(i + 1) + " + n1 * " + number(17 - i) + " - n0 * n1 * " + number(i % 3); }));
       }},
      {"ten measures over six findings",
       [] {
         return over(6, "a number from 1 to ", ten([](std::size_t i) {
                       return "n" + number(i % 6) + " * n" + number((i + 1) % 6) + " - n" + number((i + 2) % 6) + " * n" + number((i + 3) % 6);
                     }));
       }},
      {"ten sums over six findings",
       [] {
         return over(6, "a number from 1 to ", ten([](std::size_t i) { return "n" + number(i % 6) + " + 2 * n" + number((i + 1) % 6) + " - n" + number((i + 2) % 6) + " * 3"; }));
       }},
      {"three hundred thresholds of one measure",
       [] {
         return over(2, "a number from 1 to ", "Measure m is n0 / (n1 * n1).\nPractice x.\n" + counted(300, [](std::size_t i) {
                       return std::string(i % 2 ? "Indicated" : "Contraindicated") + " in m over 0.0" + number(i + 100) + ". Indicated in n0 is 1.0" + number(i + 100) + " and n1 at most 2." + number(i + 100) + ".\n";
                     }));
       }},
      {"cubes of whole numbers that never add up",
       [] {
         return over(3, "a whole number from 1 to 10000", "Measure m is n0 * n0 * n0 + n1 * n1 * n1 - n2 * n2 * n2.\nMeasure k is n0 * n1 - n2.\n"
                                                            "Practice x. Indicated in m is 0. Indicated in m is 42 and k is 33. Contraindicated in k is 7919.\n");
       }},
      {"divisors within divisors",
       [] {
         return over(3, "a number from 1 to ", "Measure m is " + repeat("1 / (n0 + ", 30) + "n1" + repeat(")", 30) + " + n2.\nMeasure k is n0 / (n1 + n0 / (n2 + n1 / (n0 + n2))).\n"
                                                   "Practice x. Indicated in m over 1.5 and k under 0.3. Contraindicated in k is 0.5 and m is 2.\n");
       }},
      {"a ball and a saddle that touch at one point",
       [] {
         return over(3, "a number from 1 to ", "Measure m is n0 * n0 + n1 * n1 + n2 * n2.\nMeasure k is n0 * n1 * n2.\n"
                                                   "Practice x. Indicated in m at most 12 and k at least 8. Indicated in m under 12 and k over 8. Indicated in m is 30 and k is 8.\n");
       }},
  };
}

}  // namespace betony::hostile
