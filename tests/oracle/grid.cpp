#include <algorithm>

#include "tests/oracle/oracle.h"

namespace betony::oracle {

std::optional<std::vector<bool>> ask_grid(const Statement& statement, const std::vector<Formula>& formulas, double most) {
  std::vector<long> counts;
  double all = 1;
  for (const Variable& v : statement.variables) {
    if (v.is_number && v.step == 0) return std::nullopt;
    counts.push_back(v.is_number ? Statement::steps(v) + 1 + (v.or_never ? 1 : 0) : v.words);
    all *= static_cast<double>(counts.back());
  }
  if (all > most) return std::nullopt;
  const std::size_t count = statement.variables.size();
  Point point{std::vector<int>(count, 0), std::vector<Fraction>(count), std::vector<char>(count, 0)};
  std::vector<long> at(count, 0);
  const auto put = [&](std::size_t v) {
    const Variable& x = statement.variables[v];
    point.words[v] = static_cast<int>(at[v]);
    if (!x.is_number) return;
    point.never[v] = at[v] > Statement::steps(x) ? 1 : 0;
    point.numbers[v] = x.low + x.step * at[v];
  };
  for (std::size_t v = 0; v < count; ++v) put(v);
  std::vector<bool> answers(formulas.size(), false);
  std::vector<signed char> memo;
  for (;;) {
    std::fill(memo.begin(), memo.end(), static_cast<signed char>(-1));
    for (std::size_t f = 0; f < formulas.size(); ++f)
      if (!answers[f] && holds(statement, formulas[f], point, memo)) answers[f] = true;
    std::size_t v = 0;
    for (; v < count && ++at[v] == counts[v]; ++v) {
      at[v] = 0;
      put(v);
    }
    if (v == count) return answers;
    put(v);
  }
}

}  // namespace betony::oracle
