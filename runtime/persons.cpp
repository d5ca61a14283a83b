#include "runtime/persons.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <limits>

#include "runtime/persons_inside.h"

namespace betony::runtime {
namespace {

constexpr std::int64_t decimal_bound = 1'000'000'000'000'000'000;   // 10^18: two of them still have a difference
constexpr unsigned most_places = 18;

constexpr std::array<std::int64_t, most_places + 1> powers_of_ten = [] {
  std::array<std::int64_t, most_places + 1> out{1};
  for (unsigned i = 1; i <= most_places; ++i) out[i] = out[i - 1] * 10;
  return out;
}();

bool is_white(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; }
char small_letter(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + ('a' - 'A')) : c; }

std::optional<std::int64_t> small_whole(const Number& number) {
  if (!number.is_integer() || number.bits() > 62) return std::nullopt;
  const std::string words = number.words();
  std::int64_t out = 0;
  std::from_chars(words.data(), words.data() + words.size(), out);
  return out;
}

Number ceiling(const Number& number) { return -(-number).floor(); }

// The least whole number past an end. One that has no place in 64 bits is past every number that is read, or before.
std::int64_t first_past(const Variable::End& end, const Number& scale) {
  const Number at = end.at * scale;
  const auto first = small_whole(end.belongs ? at.floor() + Number(1) : ceiling(at));
  if (first) return *first;
  return at.sign() > 0 ? std::numeric_limits<std::int64_t>::max() : std::numeric_limits<std::int64_t>::min();
}

// A matrix of bits turned about its diagonal: bit c of row r goes to bit r of row c. In halves, quarters, eighths, as in
// Warren, Hacker's Delight, 7-3.
void turn_about(std::array<std::uint64_t, 64>& rows) {
  std::uint64_t low = 0x00000000ffffffff;
  for (unsigned half = 32; half != 0; half >>= 1, low ^= low << half)
    for (unsigned r = 0; r < 64; r = ((r | half) + 1) & ~half) {
      const std::uint64_t other = ((rows[r] >> half) ^ rows[r | half]) & low;
      rows[r | half] ^= other;
      rows[r] ^= other << half;
    }
}

}  // namespace

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && is_white(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_white(text.back())) text.remove_suffix(1);
  return text;
}

std::string in_quotes(std::string_view text) { return "\"" + std::string(text) + "\""; }

// ---------------------------------------------------------------- numbers

std::optional<Decimals> Decimals::of(const Finding& finding, const Variable* variable) {
  if (finding.kind != Finding::Kind::number) return std::nullopt;
  const Number greatest = std::max({finding.high, -finding.high, finding.low, -finding.low, finding.step});
  Decimals out;
  out.places_ = most_places;
  while (out.places_ > 0 && greatest * powers_of_ten[out.places_] > Number(decimal_bound)) --out.places_;
  const Number scale = powers_of_ten[out.places_];
  if (greatest * scale > Number(decimal_bound)) return std::nullopt;
  out.least_ = *small_whole(ceiling(finding.low * scale));
  out.greatest_ = *small_whole((finding.high * scale).floor());
  if (finding.step.sign() != 0) {
    const auto step = small_whole(finding.step * scale), first = small_whole(finding.low * scale);
    if (!step || !first) return std::nullopt;
    out.step_ = *step, out.first_ = *first;
  }
  if (variable)
    for (const Variable::End& end : variable->ends) out.ends_.push_back(first_past(end, scale));
  return out;
}

std::optional<std::int64_t> Decimals::read(std::string_view text) const {
  const bool negative = !text.empty() && text[0] == '-';
  text.remove_prefix(negative);
  if (text.size() > most_places + 1) return std::nullopt;
  std::uint64_t digits = 0;
  std::size_t point = text.size();
  for (std::size_t i = 0; i < text.size(); ++i) {
    const unsigned digit = static_cast<unsigned char>(text[i]) - unsigned{'0'};
    if (digit <= 9) digits = digits * 10 + digit;
    else if (text[i] == '.' && point == text.size()) point = i;
    else return std::nullopt;
  }
  const bool pointed = point < text.size();
  const std::size_t places = pointed ? text.size() - point - 1 : 0;
  if (point == 0 || (pointed && places == 0) || text.size() - pointed > most_places || places > places_) return std::nullopt;
  const std::int64_t scale = powers_of_ten[places_ - places];
  if (digits > static_cast<std::uint64_t>(decimal_bound / scale)) return std::nullopt;
  const std::int64_t number = static_cast<std::int64_t>(digits) * (negative ? -scale : scale);
  if (number < least_ || number > greatest_ || (step_ != 0 && (number - first_) % step_ != 0)) return std::nullopt;
  return number;
}

Index Decimals::passed(std::int64_t number) const {
  return static_cast<Index>(std::upper_bound(ends_.begin(), ends_.end(), number) - ends_.begin());
}

// ---------------------------------------------------------------- columns

Index Column::word(std::string_view text) const {
  const auto same = [&](const std::string& word) {
    return word.size() == text.size() && std::equal(word.begin(), word.end(), text.begin(), [](char a, char b) { return a == small_letter(b); });
  };
  const auto at = std::find_if(words.begin(), words.end(), same);
  return at == words.end() ? no_index : static_cast<Index>(at - words.begin());
}

// ---------------------------------------------------------------- blocks

void BlockMaker::begin() {
  block_.bits.clear(inputs_);
  block_.rows.clear();
  block_.kept.bytes.clear();
  block_.kept.ends.clear();
}

void BlockMaker::plan(std::vector<Index> inputs) {
  plan_ = std::move(inputs);
  words_ = (plan_.size() + 63) / 64;
  rows_.assign(words_ * 64, 0);
}

void BlockMaker::add(std::uint64_t row, std::span<const Index> inputs, std::span<const std::uint64_t> bits, std::span<const std::string> kept) {
  const unsigned person = block_.bits.persons++;
  for (const Index input : inputs) block_.bits.put(input, person);
  for (std::size_t w = 0; w < words_; ++w) rows_[w * 64 + person % 64] = w < bits.size() ? bits[w] : 0;
  block_.rows.push_back(row);
  block_.kept.columns = kept.size();
  for (const std::string& text : kept) block_.kept.ends.push_back((block_.kept.bytes += text).size());
  if (block_.bits.persons == block_persons || block_.kept.bytes.size() >= PersonTable::most_kept_bytes) hand_out();
  else if (block_.bits.persons % 64 == 0) turn();
}

// The rows of bits of the last persons, up to 64, become words of planes.
void BlockMaker::turn() {
  const unsigned last = block_.bits.persons - 1;
  for (std::size_t w = 0; w < words_; ++w) {
    std::array<std::uint64_t, 64> rows{};
    std::copy_n(rows_.begin() + static_cast<std::ptrdiff_t>(w * 64), last % 64 + 1, rows.begin());
    turn_about(rows);
    for (std::size_t bit = 0; bit < 64 && w * 64 + bit < plan_.size(); ++bit)
      if (const Index input = plan_[w * 64 + bit]; input != no_index) block_.bits.planes[std::size_t{input} * block_words + last / 64] |= rows[bit];
  }
}

void BlockMaker::hand_out() {
  if (block_.bits.persons == 0) return;
  turn();
  taker_.block(block_);
  begin();
}

// ---------------------------------------------------------------- persons

PersonMaker::PersonMaker(const Pack& pack, PersonSettings settings, PersonTaker& taker)
    : pack_(pack), settings_(std::move(settings)), taker_(taker), names_(pack), variables_(pack.findings.size()), in_formula_(pack.findings.size()),
      blocks_(pack.program.inputs, taker), kept_(settings_.kept.size()) {
  for (const std::string& name : settings_.kept) kept_names_.push_back(folded(name));
  for (const Variable& variable : pack.variables) {
    if (variable.is_measure) asks_for_measures_ = true;
    else variables_[variable.index] = &variable;
  }
  for (const Measure& measure : pack.measures)
    for (const Step& step : measure.formula) {
      if (step.kind == Step::Kind::finding) in_formula_[step.index] = true;
      if (step.kind == Step::Kind::tally) asks_for_tallies_ = true;
    }
}

void PersonMaker::describe(Column& column) const {
  const Finding& finding = pack_.findings[column.finding];
  column.variable = variables_[column.finding];
  column.in_formula = asks_for_measures_ && in_formula_[column.finding];
  for (const std::string& value : finding.values) column.words.push_back(folded(value));
  if (column.unit.empty()) column.decimals = Decimals::of(finding, column.variable);
}

ColumnReading PersonMaker::column(std::string_view name) const {
  Column out;
  out.name = trimmed(name);
  const auto kept = std::find(kept_names_.begin(), kept_names_.end(), folded(name));
  if (kept != kept_names_.end()) out.kept = static_cast<Index>(kept - kept_names_.begin());
  out.finding = names_.finding(name);
  const std::string_view whole = out.name;
  const std::size_t bracket = whole.ends_with(')') ? whole.rfind('(') : whole.npos;
  if (!out.is_finding() && bracket != whole.npos) {
    out.finding = names_.finding(whole.substr(0, bracket));
    out.unit = trimmed(whole.substr(bracket + 1, whole.size() - bracket - 2));
  }
  if (!out.is_finding() && out.kept == no_index) {
    return {std::nullopt, no_such_finding(pack_, names_, out.unit.empty() ? whole : trimmed(whole.substr(0, bracket)))};
  }
  if (!out.is_finding()) return {std::move(out), {}};
  if (std::string why = wrong_unit(pack_, out.finding, out.unit); !why.empty()) return {std::nullopt, std::move(why)};
  describe(out);
  return {std::move(out), {}};
}

std::string PersonMaker::read(const Column& column, std::string_view text, std::optional<Value>& value) const {
  if (const Index word = column.word(text); word != no_index) return value.emplace().word = word, std::string{};
  auto reading = value_of_text(pack_, column.finding, text, column.unit);
  value = std::move(reading.value);
  return std::move(reading.wrong);
}

// A number has passed every end before its cell.
void PersonMaker::put_number(const Variable& variable, const Number& number, std::vector<Index>& yes) const {
  for (Index e = 0, cell = cell_of(variable, number); e < cell; ++e) yes.push_back(variable.first_input + e);
}

void PersonMaker::put(const Variable& variable, const Value& value, std::vector<Index>& yes) const {
  if (value.kind == Value::Kind::number) put_number(variable, value.number, yes);
  else if (value.kind == Value::Kind::never) yes.push_back(variable.first_input + variable.inputs - 1);
  else if (pack_.findings[variable.index].kind != Finding::Kind::yes_no) yes.push_back(variable.first_input + value.word);
  else if (value.word == 1) yes.push_back(variable.first_input);
}

bool PersonMaker::put_measures(const Answers& answers, std::vector<Index>& yes) const {
  const auto measures = measures_of(pack_, answers);
  for (const Variable& variable : pack_.variables) {
    if (!variable.is_measure) continue;
    if (!measures[variable.index]) return false;
    put_number(variable, *measures[variable.index], yes);
  }
  return true;
}

void PersonMaker::person(std::uint64_t row, Answers& answers) {
  if (settings_.blocks && put_all(answers)) return complete(row, yes_, {});
  open_.row = row;
  open_.kept = {kept_.size(), {}, {}};
  for (const std::string& text : kept_) open_.kept.ends.push_back((open_.kept.bytes += text).size());
  open_.answers.swap(answers);
  taker_.open(open_);
  open_.answers.swap(answers);
}

// False where something is open.
bool PersonMaker::put_all(const Answers& answers) {
  const std::vector<Truth> inputs = inputs_of(pack_, answers);
  yes_.clear();
  for (Index i = 0; i < inputs.size(); ++i) {
    if (inputs[i] == Truth::open) return false;
    if (inputs[i] == Truth::yes) yes_.push_back(i);
  }
  return true;
}

void PersonMaker::bad(BadRow row) {
  if (settings_.stops_at_bad) fail(std::move(row));
  else taker_.bad(row);
}

void PersonMaker::fail(BadRow row) {
  blocks_.hand_out();
  trouble_ = std::move(row);
}

// ---------------------------------------------------------------- the table

class PersonTable::Inside {
 public:
  Inside(const Pack& pack, PersonSettings settings, PersonTaker& taker) : maker(pack, std::move(settings), taker) {
    reader = maker.settings().format == TableFormat::csv ? csv_reader(maker) : json_reader(maker);
  }

  // What is held back of the first bytes until it is clear whether they are a byte-order mark.
  void feed(std::string_view bytes) {
    static constexpr std::string_view mark = "\xEF\xBB\xBF";
    for (; !begun_ && !bytes.empty(); bytes.remove_prefix(1)) {
      if (bytes[0] != mark[marks_]) return begin(bytes);
      begun_ = ++marks_ == mark.size();
    }
    if (!bytes.empty()) reader->feed(bytes);
  }
  void finish() {
    if (!begun_) begin({});
    if (!maker.stopped()) reader->finish();
    if (!maker.stopped()) maker.finish();
  }

  PersonMaker maker;
  std::unique_ptr<PersonReader> reader;

 private:
  void begin(std::string_view bytes) {
    begun_ = true;
    if (marks_ > 0) reader->feed(std::string_view("\xEF\xBB").substr(0, marks_));
    if (!bytes.empty()) reader->feed(bytes);
  }

  std::size_t marks_ = 0;
  bool begun_ = false;
};

PersonTable::PersonTable(const Pack& pack, PersonSettings settings, PersonTaker& taker)
    : inside_(std::make_unique<Inside>(pack, std::move(settings), taker)) {}
PersonTable::~PersonTable() = default;

bool PersonTable::feed(std::string_view bytes) {
  if (!trouble()) inside_->feed(bytes);
  return !trouble();
}
bool PersonTable::finish() {
  if (!trouble()) inside_->finish();
  return !trouble();
}
void PersonTable::hand_out() { inside_->maker.finish(); }
const std::optional<BadRow>& PersonTable::trouble() const { return inside_->maker.trouble(); }

}  // namespace betony::runtime
