#include "tests/oracle/source.h"

#include <algorithm>
#include <stdexcept>

#include "tests/oracle/reader.h"

namespace betony::oracle {

using referee::Finding;

void Reader::all(const std::vector<Said>& said) {
  for (const Said& s : said) guarded(s, [&] { declare(); });
  for (const auto& [name, kind] : {std::pair{"date", Finding::Kind::date}, {"time of day", Finding::Kind::time_of_day}}) {
    Finding f;
    f.name = name, f.kind = kind;
    names_[name] = {Named::Of::finding, static_cast<int>(m_.findings.size())};
    m_.findings.push_back(f);
  }
  for (const Said& s : said) guarded(s, [&] { define(); });
  for (const Said& s : said) guarded(s, [&] { tell(); });
  for (const auto& [sentence, label] : despite_) {
    for (std::size_t ban = 0; ban < m_.sentences.size(); ++ban)
      if (m_.sentences[ban].label == label) m_.sentences[sentence].despite.push_back(static_cast<int>(ban));
  }
}

void Reader::guarded(const Said& s, const std::function<void()>& what) {
  now_ = &s;
  at_ = 0;
  try {
    what();
  } catch (const Trouble& t) {
    trouble(s, t.what);
  } catch (const std::out_of_range&) {
    trouble(s, "no such name or unit");
  }
}

void Reader::trouble(const Said& s, const std::string& what) {
  if (book_.trouble.empty()) book_.trouble = book_.files[s.file] + ", byte " + std::to_string(s.tokens[0].begin) + ": " + what;
}

// ---------------------------------------------------------------- words

const Token& Reader::peek(std::size_t ahead) const {
  static const Token end;
  return at_ + ahead < now_->tokens.size() ? now_->tokens[at_ + ahead] : end;
}

bool Reader::sees(const std::vector<const char*>& words, std::size_t ahead) const {
  for (std::size_t i = 0; i < words.size(); ++i)
    if (!plain(peek(ahead + i)) || peek(ahead + i).text != words[i]) return false;
  return true;
}

bool Reader::take(const std::vector<const char*>& words) {
  if (!sees(words)) return false;
  at_ += words.size();
  return true;
}

void Reader::need(const std::vector<const char*>& words) {
  if (!take(words)) throw Trouble{std::string("expected ") + words[0] + ", found " + peek().text};
}

Token Reader::next() { return done() ? throw Trouble{"ends too early"} : now_->tokens[at_++]; }

Fraction Reader::number() { return peek().kind == Token::Kind::number ? next().number : throw Trouble{"expected a number, found " + peek().text}; }

// Words up to one of these, or to anything that is no word.
std::string Reader::words_until(const std::set<std::string>& stops) {
  std::string text;
  while (!done() && (peek().kind == Token::Kind::word || peek().kind == Token::Kind::number) && !stops.count(peek().text))
    text += (text.empty() ? "" : " ") + next().text;
  return text;
}

std::vector<std::string> Reader::list_until(const std::set<std::string>& stops) {
  std::vector<std::string> list;
  do {
    if (stops.count(peek().text)) break;
    list.push_back(words_until(stops));
  } while (take({","}));
  return list;
}

std::vector<std::string> Reader::also() {
  std::vector<std::string> list;
  if (!take({"(", "also"})) return list;
  do list.push_back(words_until({}));
  while (take({","}));
  need({")"});
  return list;
}

// ---------------------------------------------------------------- names

// The longest name that begins here.
const Named* Reader::named(std::size_t* length) const {
  std::string text;
  const Named* best = nullptr;
  for (std::size_t i = 0; i < 8 && (peek(i).kind == Token::Kind::word || (i && peek(i).kind == Token::Kind::number)); ++i) {
    text += (i ? " " : "") + peek(i).text;
    const auto found = names_.find(text);
    if (found != names_.end()) best = &found->second, *length = i + 1;
  }
  return best;
}

Named Reader::take_name(Named::Of of) {
  std::size_t length = 0;
  const Named* found = named(&length);
  if (!found || found->of != of) throw Trouble{"no such name: " + peek().text};
  at_ += length;
  return *found;
}

// The longest of these words that begins here; -1: none.
int Reader::word_of(const std::vector<std::string>& words) {
  int best = -1;
  std::size_t length = 0;
  for (std::size_t w = 0; w < words.size(); ++w) {
    std::string text;
    for (std::size_t i = 0; i < 6 && peek(i).kind == Token::Kind::word; ++i) {
      text += (i ? " " : "") + peek(i).text;
      if (text == words[w] && i + 1 > length) best = static_cast<int>(w), length = i + 1;
    }
  }
  at_ += length;
  return best;
}

// ---------------------------------------------------------------- files

namespace {

void gather(Book& book, const std::string& name, const std::function<std::string(const std::string&)>& text_of, std::vector<Said>& into) {
  const std::size_t file = book.files.size();
  book.files.push_back(name);
  const std::string text = text_of(name);
  for (Said& s : sentences_of(text, file)) {
    if (s.tokens[0].text == "use" && s.tokens.size() == 2) gather(book, s.tokens[1].text, text_of, into);
    into.push_back(std::move(s));
  }
}

}  // namespace

Book read_book(const std::string& root, const std::function<std::string(const std::string& name)>& text_of) {
  Book book;
  std::vector<Said> said;
  gather(book, root, text_of, said);
  book.places.resize(book.files.size());
  Reader(book).all(said);
  for (auto& places : book.places)
    std::sort(places.begin(), places.end(), [](const auto& a, const auto& b) { return a.begin < b.begin; });
  return book;
}

}  // namespace betony::oracle
