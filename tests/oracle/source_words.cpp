// Source text cut into sentences, and those into words, numbers, strings and signs.
#include <algorithm>
#include <array>

#include "tests/oracle/reader.h"

namespace betony::oracle {

namespace {

Fraction decimal_number(const std::string& text) {
  std::string digits, below = "1";
  bool behind = false;
  for (char c : text) {
    if (c == '.') behind = true;
    else digits += c, below += behind ? "0" : "";
  }
  Fraction number(digits + "/" + below, 10);
  number.canonicalize();
  return number;
}

const std::array<const char*, 3> stops = {"۔", "।", "。"}, commas = {"،", "、", "，"};

class Letters {
 public:
  Letters(const std::string& text, std::size_t file) : text_(text), file_(file) {}

  std::vector<Said> all() {
    while (skip_blank(), at_ < text_.size()) take();
    finish();
    return std::move(said_);
  }

 private:
  bool here(const std::string& what) const { return text_.compare(at_, what.size(), what) == 0; }
  static bool blank(char c) { return c == ' ' || c == '\n' || c == '\t' || c == '\r'; }
  static bool digit(char c) { return c >= '0' && c <= '9'; }
  bool blank_at(std::size_t at) const { return at >= text_.size() || blank(text_[at]); }

  void skip_blank() {
    while (at_ < text_.size())
      if (blank(text_[at_])) ++at_;
      else if (here("--")) at_ = std::min(text_.find('\n', at_), text_.size());
      else return;
  }

  void add(Token::Kind kind, std::string text, std::size_t begin, Fraction number = 0) {
    const bool after_words = !now_.empty() && now_.back().kind == Token::Kind::string && !now_.back().text.empty();
    const bool closed = after_words && std::string(".!?").find(now_.back().text.back()) != std::string::npos;
    const bool goes_on = kind == Token::Kind::citation || (kind == Token::Kind::sign && (text == "," || text == ";"));
    if (closed && !goes_on) finish();
    now_.push_back({kind, std::move(text), std::move(number), begin});
  }

  void finish() {
    if (!now_.empty()) said_.push_back({std::move(now_), file_});
    now_.clear();
  }

  void take() {
    const std::size_t begin = at_;
    for (const char* stop : stops)
      if (here(stop)) return at_ += std::string(stop).size(), finish();
    for (const char* comma : commas)
      if (here(comma)) return at_ += std::string(comma).size(), add(Token::Kind::sign, ",", begin);
    const char c = text_[at_];
    if (c == '.' && blank_at(at_ + 1)) return ++at_, finish();
    if (c == '"' || here("“")) return string(begin);
    if (c == '[') {
      const std::size_t close = text_.find(']', at_);
      add(Token::Kind::citation, text_.substr(at_ + 1, close - at_ - 1), begin);
      at_ = close + 1;
      return;
    }
    if (digit(c) || (c == '-' && digit(text_[at_ + 1]))) return number(begin);
    const bool unit = c == '/' && !blank_at(at_ + 1);
    if (std::string(",;:()+*-/").find(c) != std::string::npos && !unit) return ++at_, add(Token::Kind::sign, std::string(1, c), begin);
    word(begin);
  }

  void string(std::size_t begin) {
    const bool curly = text_[at_] != '"';
    const std::string close = curly ? "”" : "\"";
    at_ += curly ? 3 : 1;
    std::string inside;
    for (; at_ < text_.size(); inside += text_[at_++]) {
      if (!here(close)) continue;
      at_ += close.size();
      if (curly || !here(close)) break;
      inside += '"';
    }
    add(Token::Kind::string, inside, begin);
  }

  void number(std::size_t begin) {
    ++at_;
    const auto inside = [&] {
      if (digit(text_[at_])) return true;
      return (text_[at_] == '.' || text_[at_] == ':') && at_ + 1 < text_.size() && digit(text_[at_ + 1]);
    };
    while (at_ < text_.size() && inside()) ++at_;
    const std::string text = text_.substr(begin, at_ - begin);
    const std::size_t colon = text.find(':');
    if (colon == std::string::npos) return add(Token::Kind::number, text, begin, decimal_number(text));
    add(Token::Kind::clock, text, begin, std::stoi(text.substr(0, colon)) * 60 + std::stoi(text.substr(colon + 1)));
  }

  void word(std::size_t begin) {
    bool bracket = false;
    for (; at_ < text_.size() && !blank(text_[at_]); ++at_) {
      const char c = text_[at_];
      if (std::any_of(stops.begin(), stops.end(), [&](const char* s) { return here(s); }) ||
          std::any_of(commas.begin(), commas.end(), [&](const char* s) { return here(s); }))
        break;
      if (c == '.' && blank_at(at_ + 1)) break;
      if (c == '[' || c == ']') bracket = c == '[';
      if (std::string(",;:()").find(c) != std::string::npos && !bracket) break;
    }
    add(Token::Kind::word, folded(text_.substr(begin, at_ - begin)), begin);
  }

  const std::string& text_;
  std::size_t file_, at_ = 0;
  std::vector<Token> now_;
  std::vector<Said> said_;
};

}  // namespace

std::string folded(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  return text;
}

std::vector<Said> sentences_of(const std::string& text, std::size_t file) { return Letters(text, file).all(); }

}  // namespace betony::oracle
