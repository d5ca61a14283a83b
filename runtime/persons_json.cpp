// JSON lines: each an object of names and answers, read to answers.
#include <algorithm>
#include <cstring>
#include <unordered_map>
#include <utility>

#include "runtime/persons_inside.h"

namespace betony::runtime {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// ---------------------------------------------------------------- UTF-8

// The bytes of the character that begins here; 0 where none does. The table of well-formed sequences: Unicode 15, table 3-7.
std::size_t character(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned first = byte(0);
  if (first < 0x80) return 1;
  const std::size_t size = first < 0xC2 ? 0 : first < 0xE0 ? 2 : first < 0xF0 ? 3 : first < 0xF5 ? 4 : 0;
  if (size == 0 || size > text.size()) return 0;
  const unsigned least = first == 0xE0 ? 0xA0 : first == 0xF0 ? 0x90 : 0x80, greatest = first == 0xED ? 0x9F : first == 0xF4 ? 0x8F : 0xBF;
  if (byte(1) < least || byte(1) > greatest) return 0;
  for (std::size_t i = 2; i < size; ++i)
    if (byte(i) < 0x80 || byte(i) > 0xBF) return 0;
  return size;
}

// Eight bytes at once are passed over where they are all ASCII.
bool is_utf8(std::string_view text) {
  while (!text.empty()) {
    std::uint64_t eight = ~std::uint64_t{0};
    if (text.size() >= 8) std::memcpy(&eight, text.data(), 8);
    const std::size_t size = (eight & 0x8080808080808080) == 0 ? 8 : character(text);
    if (size == 0) return false;
    text.remove_prefix(size);
  }
  return true;
}

void add_character(unsigned code, std::string& out) {
  const auto add = [&](unsigned byte) { out += static_cast<char>(byte); };
  if (code < 0x80) return add(code);
  if (code < 0x800) return add(0xC0 | code >> 6), add(0x80 | (code & 0x3F));
  if (code < 0x10000) return add(0xE0 | code >> 12), add(0x80 | (code >> 6 & 0x3F)), add(0x80 | (code & 0x3F));
  add(0xF0 | code >> 18), add(0x80 | (code >> 12 & 0x3F)), add(0x80 | (code >> 6 & 0x3F)), add(0x80 | (code & 0x3F));
}

// ---------------------------------------------------------------- JSON

// Reads one line from its beginning. What finds nothing or the wrong thing says so in wrong(), once for all.
class JsonText {
 public:
  explicit JsonText(std::string_view text) : text_(text) {}

  const std::string& wrong() const { return wrong_; }
  bool fail(std::string words) {
    if (wrong_.empty()) wrong_ = std::move(words);
    return false;
  }
  bool at_end() {
    pass_white();
    return at_ == text_.size();
  }
  bool takes(char c) {
    pass_white();
    if (at_ == text_.size() || text_[at_] != c) return false;
    ++at_;
    return true;
  }
  // The first character of what comes.
  char next() {
    pass_white();
    return at_ < text_.size() ? text_[at_] : '\0';
  }

  bool string(std::string& out) {
    out.clear();
    if (!takes('"')) return fail("a string should stand here");
    for (;; ++at_) {
      const std::size_t begin = at_;
      while (at_ < text_.size() && is_plain(text_[at_])) ++at_;
      out.append(text_, begin, at_ - begin);
      if (at_ == text_.size()) return fail("a string is opened and not closed");
      const char c = text_[at_];
      if (c == '"') return ++at_, out.size() <= PersonTable::most_cell_bytes || fail("the string is too long");
      if (c != '\\') return fail("a control character stands in a string");
      if (!escape(out)) return fail("a string has an escape that is none");
    }
  }

  // A word of letters: true, false, null.
  std::string_view word() {
    pass_white();
    const std::size_t begin = at_;
    while (at_ < text_.size() && text_[at_] >= 'a' && text_[at_] <= 'z') ++at_;
    return text_.substr(begin, at_ - begin);
  }

  // As it stands, up to what can be none of it.
  std::string_view number() {
    pass_white();
    const std::size_t begin = at_;
    const auto digits = [&] {
      const std::size_t first = at_;
      while (at_ < text_.size() && is_digit(text_[at_])) ++at_;
      return at_ > first;
    };
    const auto is = [&](char a, char b) { return at_ < text_.size() && (text_[at_] == a || text_[at_] == b); };
    if (is('-', '-')) ++at_;
    const bool zero = is('0', '0');
    const std::size_t first = at_;
    bool sound = digits() && (!zero || at_ == first + 1);
    if (is('.', '.')) ++at_, sound = digits() && sound;
    if (is('e', 'E')) {
      ++at_;
      if (is('+', '-')) ++at_;
      sound = digits() && sound;
    }
    return sound ? text_.substr(begin, at_ - begin) : std::string_view{};
  }

 private:
  static bool is_plain(char c) { return c != '"' && c != '\\' && static_cast<unsigned char>(c) >= 0x20; }
  void pass_white() {
    while (at_ < text_.size() && (text_[at_] == ' ' || text_[at_] == '\t' || text_[at_] == '\r' || text_[at_] == '\n')) ++at_;
  }

  // From the stroke to the last character of the escape.
  bool escape(std::string& out) {
    static constexpr std::string_view letters = "\"\\/bfnrt", meanings = "\"\\/\b\f\n\r\t";
    if (++at_ == text_.size()) return false;
    const std::size_t letter = letters.find(text_[at_]);
    if (letter != letters.npos) return out += meanings[letter], true;
    if (text_[at_] != 'u') return false;
    auto code = four_digits();
    if (!code) return false;
    if (*code >= 0xD800 && *code < 0xDC00) {
      if (text_.substr(at_ + 1, 2) != "\\u") return false;
      at_ += 2;
      const auto low = four_digits();
      if (!low || *low < 0xDC00 || *low > 0xDFFF) return false;
      code = 0x10000 + ((*code - 0xD800) << 10) + (*low - 0xDC00);
    } else if (*code >= 0xDC00 && *code <= 0xDFFF) {
      return false;
    }
    add_character(*code, out);
    return true;
  }
  // Behind the letter; the last of them is where it stays.
  std::optional<unsigned> four_digits() {
    unsigned code = 0;
    for (int i = 0; i < 4; ++i) {
      if (++at_ == text_.size()) return --at_, std::nullopt;
      const char c = text_[at_];
      const int digit = is_digit(c) ? c - '0' : c >= 'a' && c <= 'f' ? c - 'a' + 10 : c >= 'A' && c <= 'F' ? c - 'A' + 10 : -1;
      if (digit < 0) return std::nullopt;
      code = code * 16 + static_cast<unsigned>(digit);
    }
    return code;
  }

  std::string_view text_;
  std::size_t at_ = 0;
  std::string wrong_;
};

Number power_of_ten(unsigned exponent) { return *Number::read("1" + std::string(exponent, '0'), exponent + 1); }

// Nothing past the bounds of digits and exponent.
std::optional<Number> number_of(std::string_view text) {
  const std::size_t letter = std::min(text.find_first_of("eE"), text.size());
  const auto number = Number::read(text.substr(0, letter));
  if (!number || letter == text.size()) return number;
  std::string_view digits = text.substr(letter + 1);
  const bool down = digits[0] == '-';
  if (!is_digit(digits[0])) digits.remove_prefix(1);
  int exponent = 0;
  for (const char c : digits)
    if ((exponent = exponent * 10 + (c - '0')) > PersonTable::most_exponent) return std::nullopt;
  const Number power = power_of_ten(static_cast<unsigned>(exponent));
  return down ? divided(*number, power) : *number * power;
}

// ---------------------------------------------------------------- lines

class JsonReader : public PersonReader {
 public:
  explicit JsonReader(PersonMaker& maker) : maker_(maker), last_row_(maker.pack().findings.size()), last_kept_(maker.kept().size()) {}

  void feed(std::string_view bytes) override {
    while (!bytes.empty() && !maker_.stopped()) {
      const void* found = std::memchr(bytes.data(), '\n', bytes.size());
      const std::size_t line = found ? static_cast<std::size_t>(static_cast<const char*>(found) - bytes.data()) : bytes.size();
      const std::string_view more = bytes.substr(0, line);
      length_ += line;
      if (length_ > PersonTable::most_row_bytes) pending_.clear();
      else if (!found || !pending_.empty()) pending_.append(more);
      if (found) end_line(pending_.empty() ? more : pending_);
      bytes.remove_prefix(line + (found != nullptr));
    }
  }
  void finish() override {
    if (length_ > 0) end_line(pending_);
  }

 private:
  void end_line(std::string_view line) {
    ++row_;
    if (length_ > PersonTable::most_row_bytes) bad("the line is too long");
    else if (!trimmed(line).empty()) take_line(line);
    pending_.clear();
    length_ = 0;
  }

  void bad(std::string wrong) { maker_.bad({row_, std::move(key_), std::move(wrong)}), key_.clear(); }

  void take_line(std::string_view line) {
    answers_.assign(maker_.pack().findings.size(), std::nullopt);
    for (std::string& text : maker_.kept()) text.clear();
    key_.clear();
    place_ = 0;
    if (!is_utf8(line)) return bad("the line is not UTF-8");
    JsonText json(line);
    if (!take_object(json)) return bad(json.wrong());
    maker_.person(row_, answers_);
  }

  bool take_object(JsonText& json) {
    if (!json.takes('{')) return json.fail("an object should stand in the line");
    if (!json.takes('}')) {
      do {
        if (!take_member(json)) return false;
      } while (json.takes(','));
      key_.clear();
      if (!json.takes('}')) return json.fail("a comma or the end of the object should follow an answer");
    }
    return json.at_end() || json.fail("something follows the object");
  }

  bool take_member(JsonText& json) {
    key_.clear();
    if (json.next() != '"') return json.fail("a name in quotes should stand before each answer");
    if (!json.string(text_)) return false;
    key_ = text_;
    if (!json.takes(':')) return json.fail("a colon should follow the name");
    const Column* column = column_of(json);
    return column && is_new(json, *column) && take_answer(json, *column);
  }

  // What the key is. Mostly it is what stood at this place in the line before; else it is looked up, and what was looked up once is
  // remembered, up to a bound, for there are many ways to write a key.
  const Column* column_of(JsonText& json) {
    if (place_ == order_.size()) order_.push_back(nullptr);
    const Entry*& expected = order_[place_++];
    if (expected && expected->first == key_) return &expected->second;
    auto known = columns_.find(key_);
    if (known == columns_.end()) {
      auto [column, wrong] = maker_.column(key_);
      if (!column) return json.fail(std::move(wrong)), nullptr;
      if (columns_.size() >= 2 * (last_row_.size() + last_kept_.size())) columns_.clear(), std::fill(order_.begin(), order_.end(), nullptr);
      known = columns_.emplace(key_, std::move(*column)).first;
    }
    expected = &*known;
    return &known->second;
  }

  bool is_new(JsonText& json, const Column& column) {
    const auto stamp = [&](std::uint64_t& last) { return std::exchange(last, row_) != row_; };
    const bool new_finding = !column.is_finding() || stamp(last_row_[column.finding]),
               new_kept = column.kept == no_index || stamp(last_kept_[column.kept]);
    return (new_finding && new_kept) ||
           json.fail(in_quotes(column.is_finding() ? maker_.pack().findings[column.finding].name : column.name) + " is answered twice");
  }

  bool take_answer(JsonText& json, const Column& column) {
    const char first = json.next();
    if (first == '"') return json.string(text_) && tell(json, column, text_, [&](auto& value) { return maker_.read(column, trimmed(text_), value); });
    if (first == '-' || is_digit(first)) return take_number(json, column);
    if (first == '[' || first == '{') return json.fail("a list or an object is no answer");
    const std::string_view word = json.word();
    if (word == "null") return true;
    if (word != "true" && word != "false") return json.fail("what follows the colon is no answer; words stand in quotes");
    return tell(json, column, word, [&](auto& value) { return read_truth(column, word, value); });
  }

  std::string read_truth(const Column& column, std::string_view word, std::optional<Value>& value) const {
    if (maker_.pack().findings[column.finding].kind != Finding::Kind::yes_no) return maker_.read(column, word, value);
    value.emplace().word = word == "true";
    return {};
  }

  bool take_number(JsonText& json, const Column& column) {
    const std::string_view text = json.number();
    if (text.empty()) return json.fail("what begins like a number is none");
    return tell(json, column, text, [&](auto& value) -> std::string {
      const auto number = number_of(text);
      if (!number) return "the number has more digits than can be taken";
      auto reading = value_of_number(maker_.pack(), column.finding, *number, column.unit);
      value = std::move(reading.value);
      return std::move(reading.wrong);
    });
  }

  template <class Read>
  bool tell(JsonText& json, const Column& column, std::string_view text, const Read& read) {
    if (text.size() > PersonTable::most_cell_bytes) return json.fail("the number is too long");
    if (column.kept != no_index) maker_.kept()[column.kept] = text;
    if (!column.is_finding()) return true;
    std::string wrong = read(answers_[column.finding]);
    return wrong.empty() || json.fail(std::move(wrong));
  }

  PersonMaker& maker_;
  std::string pending_;                     // what there is of the line at hand
  std::size_t length_ = 0;                  // of it, kept or not
  std::uint64_t row_ = 0;
  std::string key_, text_;
  using Entry = std::pair<const std::string, Column>;
  std::unordered_map<std::string, Column> columns_;
  std::vector<const Entry*> order_;         // of the keys in the lines before; into `columns_`
  std::size_t place_ = 0;                   // of the next key
  std::vector<std::uint64_t> last_row_;     // by finding: where it was answered last
  std::vector<std::uint64_t> last_kept_;
  Answers answers_;
};

}  // namespace

std::unique_ptr<PersonReader> json_reader(PersonMaker& maker) { return std::make_unique<JsonReader>(maker); }

}  // namespace betony::runtime
