#include "tests/oracle/source.h"

#include <algorithm>
#include <array>
#include <map>
#include <set>
#include <stdexcept>

namespace betony::oracle {

namespace {

using referee::Arithmetic;
using referee::Choice;
using referee::Cond;
using referee::Finding;
using referee::Fraction;
using referee::Model;
using referee::Sentence;
using referee::Spot;
using referee::Verdict;

struct Trouble { std::string what; };

// ---------------------------------------------------------------- words and sentences

struct Token {
  enum class Kind { word, number, clock, string, citation, sign, end };
  Kind kind = Kind::end;
  std::string text;      // words folded to small letters; strings and citations without their marks
  Fraction number;       // number; clock: minutes of the day
  std::size_t begin = 0;
};
struct Said { std::vector<Token> tokens; std::size_t file = 0; };

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
    while (at_ < text_.size() && (digit(text_[at_]) || ((text_[at_] == '.' || text_[at_] == ':') && at_ + 1 < text_.size() && digit(text_[at_ + 1])))) ++at_;
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
    std::string text = text_.substr(begin, at_ - begin);
    std::transform(text.begin(), text.end(), text.begin(), [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    add(Token::Kind::word, text, begin);
  }

  const std::string& text_;
  std::size_t file_, at_ = 0;
  std::vector<Token> now_;
  std::vector<Said> said_;
};

// ---------------------------------------------------------------- units

struct Unit { int dimension; Fraction factor, zero; };  // base = number * factor + zero

const std::map<std::string, Unit>& units() {
  static const std::map<std::string, Unit> all = {
      {"s", {1, 1, 0}}, {"min", {1, 60, 0}}, {"h", {1, 3600, 0}}, {"d", {1, 86400, 0}}, {"wk", {1, 604800, 0}},
      {"g", {2, 1, 0}}, {"kg", {2, 1000, 0}}, {"cm", {3, 1, 0}}, {"m", {3, 100, 0}}, {"inch", {3, Fraction(127, 50), 0}},
      {"cel", {4, 1, 0}}, {"degf", {4, Fraction(5, 9), Fraction(-160, 9)}}, {"mm[hg]", {5, 1, 0}}, {"/min", {6, 1, 0}},
      {"%", {7, Fraction(1, 100), 0}}, {"years", {8, 1, 0}}, {"", {7, 1, 0}}};
  return all;
}

// ---------------------------------------------------------------- the reader

struct Named {
  enum class Of { finding, term, tally, leading, choice, practice, measure, group, school } of;
  int index = 0, item = -1;
};

const std::array<const char*, 12> months = {"january", "february", "march", "april", "may", "june",
                                            "july", "august", "september", "october", "november", "december"};

class Reader {
 public:
  explicit Reader(Book& book) : book_(book), m_(book.model) {}

  void all(const std::vector<Said>& said) {
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

 private:
  void guarded(const Said& s, const std::function<void()>& what) {
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

  void trouble(const Said& s, const std::string& what) {
    if (book_.trouble.empty()) book_.trouble = book_.files[s.file] + ", byte " + std::to_string(s.tokens[0].begin) + ": " + what;
  }

  // ---- tokens

  const Token& peek(std::size_t ahead = 0) const {
    static const Token end;
    return at_ + ahead < now_->tokens.size() ? now_->tokens[at_ + ahead] : end;
  }
  bool done() const { return at_ >= now_->tokens.size(); }
  static bool plain(const Token& t) { return t.kind == Token::Kind::word || t.kind == Token::Kind::sign; }
  bool sees(const std::vector<const char*>& words, std::size_t ahead = 0) const {
    for (std::size_t i = 0; i < words.size(); ++i)
      if (!plain(peek(ahead + i)) || peek(ahead + i).text != words[i]) return false;
    return true;
  }
  bool take(const std::vector<const char*>& words) {
    if (!sees(words)) return false;
    at_ += words.size();
    return true;
  }
  void need(const std::vector<const char*>& words) {
    if (!take(words)) throw Trouble{std::string("expected ") + words[0] + ", found " + peek().text};
  }
  Token next() { return done() ? throw Trouble{"ends too early"} : now_->tokens[at_++]; }
  Fraction number() { return peek().kind == Token::Kind::number ? next().number : throw Trouble{"expected a number, found " + peek().text}; }

  // Words up to one of these, or to anything that is no word.
  std::string words_until(const std::set<std::string>& stops) {
    std::string text;
    while (!done() && (peek().kind == Token::Kind::word || peek().kind == Token::Kind::number) && !stops.count(peek().text))
      text += (text.empty() ? "" : " ") + next().text;
    return text;
  }
  std::vector<std::string> list_until(const std::set<std::string>& stops) {
    std::vector<std::string> list;
    do {
      if (stops.count(peek().text)) break;
      list.push_back(words_until(stops));
    } while (take({","}));
    return list;
  }

  std::vector<std::string> also() {
    std::vector<std::string> list;
    if (!take({"(", "also"})) return list;
    do list.push_back(words_until({}));
    while (take({","}));
    need({")"});
    return list;
  }

  void name(const std::string& text, Named what) { names_[text] = what; }

  // The longest name that begins here.
  const Named* named(std::size_t* length) const {
    std::string text;
    const Named* best = nullptr;
    for (std::size_t i = 0; i < 8 && (peek(i).kind == Token::Kind::word || (i && peek(i).kind == Token::Kind::number)); ++i) {
      text += (i ? " " : "") + peek(i).text;
      const auto found = names_.find(text);
      if (found != names_.end()) best = &found->second, *length = i + 1;
    }
    return best;
  }
  Named take_name(Named::Of of) {
    std::size_t length = 0;
    const Named* found = named(&length);
    if (!found || found->of != of) throw Trouble{"no such name: " + peek().text};
    at_ += length;
    return *found;
  }
  // The longest of these words that begins here; -1: none.
  int word_of(const std::vector<std::string>& words) {
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

  // ---- first: what there is

  void declare() {
    const std::string first = next().text;
    const std::set<std::string> ends = {"is", "are", "holds", "means", "counts"};
    if (first == "source") {
      const std::string word = next().text;
      m_.sources.push_back({word, "", 1900, std::nullopt, false});
    } else if (first == "school") {
      school();
    } else if (first == "finding") {
      finding();
    } else if (first == "group") {
      const std::string called = words_until(ends);
      m_.groups.push_back({called, {}, {}, false});
      alike(called, {Named::Of::group, static_cast<int>(m_.groups.size()) - 1});
    } else if (first == "practice" || first == "practices") {
      for (const std::string& practice : list_until({})) {
        const auto [at, fresh] = names_.try_emplace(practice, Named{Named::Of::practice, static_cast<int>(m_.practices.size())});
        if (fresh) m_.practices.push_back({practice, "", false});
        for (const std::string& other : also()) name(other, at->second);
      }
    } else if (first == "choice") {
      choice();
    } else if (first == "measure" || first == "term" || first == "tally" || first == "leading") {
      const std::string called = words_until(ends);
      if (first == "measure") m_.measures.push_back({called, {}, "", false}), alike(called, {Named::Of::measure, static_cast<int>(m_.measures.size()) - 1});
      if (first == "term") m_.terms.push_back({called, {}, false}), alike(called, {Named::Of::term, static_cast<int>(m_.terms.size()) - 1});
      if (first == "tally") m_.tallies.push_back({called, {}, false}), alike(called, {Named::Of::tally, static_cast<int>(m_.tallies.size()) - 1});
      if (first == "leading") m_.leadings.push_back({called, {}, std::nullopt, "", false}), alike(called, {Named::Of::leading, static_cast<int>(m_.leadings.size()) - 1});
    } else if (first == "contraindications" && sees({"prevail"})) {
      m_.prevail = true;
    }
  }

  void alike(const std::string& called, Named what) {
    name(called, what);
    for (const std::string& other : also()) name(other, what);
  }

  int source(const std::string& word) const {
    for (std::size_t i = 0; i < m_.sources.size(); ++i)
      if (m_.sources[i].word == word) return static_cast<int>(i);
    throw Trouble{"no source " + word};
  }

  void school() {
    const std::string called = words_until({"holds"});
    also();
    need({"holds"});
    m_.schools.push_back({called, {}, false});
    for (const std::string& word : list_until({})) m_.schools.back().sources.push_back(source(word));
  }

  void finding() {
    Finding f;
    f.name = words_until({"is", "are"});
    const Named what{Named::Of::finding, static_cast<int>(m_.findings.size())};
    alike(f.name, what);
    at_ += 1;
    const std::set<std::string> usual = {"usually"};
    if (take({"yes", "or", "no"})) {
      f.kind = Finding::Kind::yes_no;
    } else if (take({"one", "of"})) {
      f.kind = Finding::Kind::one_of, f.words = list_until(usual);
    } else if (take({"a", "grade", "of"})) {
      f.kind = Finding::Kind::grade, f.words = list_until(usual);
    } else if (take({"any", "of"})) {
      f.kind = Finding::Kind::any_of, f.words = list_until(usual);
      for (std::size_t i = 0; i < f.words.size(); ++i) name(f.words[i], {Named::Of::finding, what.index, static_cast<int>(i)});
    } else {
      need({"a"});
      f.whole = take({"whole"});
      need({"number"});
      if (take({"of"})) f.unit = next().text;
      f.ago = take({"ago"});
      f.kind = Finding::Kind::number;
      need({"from"});
      f.low = number();
      need({"to"});
      f.high = number();
      f.step = f.whole ? 1 : 0;
      if (take({"in", "steps", "of"})) f.step = number();
      f.or_never = take({",", "or", "never"});
    }
    m_.findings.push_back(f);
  }

  void choice() {
    Choice c;
    c.name = words_until({"is"});
    alike(c.name, {Named::Of::choice, static_cast<int>(m_.choices.size())});
    need({"is"});
    if (take({"any", "of"})) c.kind = Choice::Kind::any_of;
    else if (take({"a", "grade", "of"})) c.kind = Choice::Kind::highest;
    else need({"one", "of"});
    do {
      if (sees({"the", "highest"}) || sees({"the", "lowest"})) break;
      c.words.push_back(words_until({}));
    } while (take({","}));
    if (c.kind == Choice::Kind::highest && sees({"the", "lowest"})) c.kind = Choice::Kind::lowest;
    m_.choices.push_back(c);
  }

  // ---- second: what it means

  void define() {
    const std::string first = next().text;
    const auto of = [&](Named::Of kind) { return static_cast<std::size_t>(take_name(kind).index); };
    if (first == "term") {
      const std::size_t i = of(Named::Of::term);
      also();
      need({"means"});
      m_.terms[i].means = level();
    } else if (first == "tally") {
      referee::Tally& t = m_.tallies[of(Named::Of::tally)];
      also();
      need({"counts"});
      tally(t);
    } else if (first == "leading") {
      referee::Leading& l = m_.leadings[of(Named::Of::leading)];
      also();
      need({"is", "the", "most", "of"});
      for (const std::string& called : list_until({"by", "else"})) l.tallies.push_back(names_.at(called).index);
      if (take({"by", "at", "least"})) l.lead = number();
      take({","});
      need({"else"});
      l.otherwise = words_until({});
    } else if (first == "measure") {
      referee::Measure& m = m_.measures[of(Named::Of::measure)];
      also();
      need({"is"});
      m.is = sum();
      if (take({"in"})) m.unit = next().text;
    } else if (first == "group") {
      referee::Group& g = m_.groups[of(Named::Of::group)];
      also();
      need({"holds"});
      for (const std::string& called : list_until({})) {
        const Named what = names_.at(called);
        (what.of == Named::Of::group ? g.groups : g.practices).push_back(what.index);
      }
    }
  }

  void tally(referee::Tally& t) {
    while (!done()) {
      take({","});
      take({"and"});
      referee::TallyItem item;
      item.each = take({"each", "of"});
      do item.counted.push_back(this->item());
      while (item.each && take({","}));
      need({"as"});
      item.points = number();
      t.items.push_back(std::move(item));
    }
  }

  // ---- arithmetic

  Arithmetic join(Arithmetic::Op op, Arithmetic a, Arithmetic b) {
    Arithmetic both;
    both.op = op;
    both.parts = {std::move(a), std::move(b)};
    return both;
  }
  Arithmetic sum() {
    Arithmetic a = product();
    for (;;) {
      if (take({"+"})) a = join(Arithmetic::Op::plus, a, product());
      else if (take({"-"})) a = join(Arithmetic::Op::minus, a, product());
      else return a;
    }
  }
  Arithmetic product() {
    Arithmetic a = factor();
    for (;;) {
      if (take({"*"})) a = join(Arithmetic::Op::times, a, factor());
      else if (take({"/"})) a = join(Arithmetic::Op::divided, a, factor());
      else return a;
    }
  }
  Arithmetic factor() {
    Arithmetic a;
    if (take({"("})) {
      a = sum();
      need({")"});
    } else if (sees({"least", "of"}) || sees({"most", "of"})) {
      a.op = next().text == "least" ? Arithmetic::Op::least : Arithmetic::Op::most;
      need({"of"});
      do a.parts.push_back(sum());
      while (take({","}));
    } else if (peek().kind == Token::Kind::number) {
      a.number = number();  // units of measures and of what they are made from are the same throughout
      if (!sees({"in"}) && peek().kind == Token::Kind::word && units().count(peek().text)) next();
    } else {
      std::size_t length = 0;
      const Named* found = named(&length);
      if (!found) throw Trouble{"no number: " + peek().text};
      at_ += length;
      if (found->of == Named::Of::measure) return m_.measures[static_cast<std::size_t>(found->index)].is;
      a.op = Arithmetic::Op::finding;
      a.index = found->index;
    }
    return a;
  }

  // ---- conditions

  bool ends() const {  // what follows belongs to the sentence, not to its condition
    const std::size_t comma = sees({","}) ? 1 : 0;
    if (at_ + comma >= now_->tokens.size()) return true;
    const Token& t = peek(comma);
    if (t.kind == Token::Kind::citation || t.kind == Token::Kind::string) return true;
    return plain(t) && std::set<std::string>{"in", "when", "unless", "despite", "for", "called", "as", ":", ";", ")"}.count(t.text);
  }

  Cond list_of(Cond::Kind kind, int count) {
    Cond c;
    c.kind = kind;
    c.count = count;
    do {
      if (!take({"and"})) take({"or"});
      c.parts.push_back(item());
    } while (!ends() && (take({","}) || sees({"and"}) || sees({"or"})));
    return c;
  }

  std::optional<Cond> last() {
    if (take({"any", "of"})) return list_of(Cond::Kind::any, 0);
    if (take({"all", "of"})) return list_of(Cond::Kind::all, 0);
    if (take({"none", "of"})) return list_of(Cond::Kind::none, 0);
    if (sees({"at", "least"}) && peek(2).kind == Token::Kind::number) {
      at_ += 2;
      const int count = static_cast<int>(number().get_num().get_si());
      need({"of"});
      return list_of(Cond::Kind::at_least, count);
    }
    return std::nullopt;
  }

  Cond level() {
    Cond c;
    std::string connective;
    for (;;) {
      if (auto list = last()) c.parts.push_back(std::move(*list));
      else c.parts.push_back(item());
      if (ends()) break;
      take({","});
      if (sees({"and"}) || sees({"or"})) connective = next().text;
    }
    if (c.parts.size() == 1) return Cond(c.parts[0]);
    if (connective.empty()) throw Trouble{"a list without and/or"};
    c.kind = connective == "and" ? Cond::Kind::all : Cond::Kind::any;
    return c;
  }

  Cond item() {
    if (take({"not"})) {
      Cond c;
      c.kind = Cond::Kind::negation;
      c.parts = {item()};
      return c;
    }
    if (take({"("})) {
      Cond c = level();
      need({")"});
      return c;
    }
    return atom();
  }

  Cond atom() {
    std::size_t length = 0;
    const Named* what = named(&length);
    if (!what) throw Trouble{"no such name: " + peek().text};
    at_ += length;
    Cond c;
    c.index = what->index, c.item = what->item;
    switch (what->of) {
      case Named::Of::term: c.of = Cond::Of::term, c.kind = Cond::Kind::holds; return c;
      case Named::Of::tally: c.of = Cond::Of::tally; return numbers(c, "");
      case Named::Of::measure: c.of = Cond::Of::measure; return numbers(c, m_.measures[static_cast<std::size_t>(c.index)].unit);
      case Named::Of::leading: c.of = Cond::Of::leading; return words(c, leading_values(m_, m_.leadings[static_cast<std::size_t>(c.index)]));
      case Named::Of::choice: c.of = Cond::Of::choice; return words(c, m_.choices[static_cast<std::size_t>(c.index)].words);
      case Named::Of::practice: c.of = Cond::Of::practice; return verdicts(c);
      case Named::Of::finding: break;
      default: throw Trouble{"not a condition"};
    }
    const Finding& f = m_.findings[static_cast<std::size_t>(c.index)];
    switch (f.kind) {
      case Finding::Kind::yes_no:
      case Finding::Kind::any_of: c.kind = Cond::Kind::holds; return c;
      case Finding::Kind::one_of: return words(c, f.words);
      case Finding::Kind::grade: return sees({"is"}) || sees({"are"}) ? words(c, f.words) : numbers(c, "");
      default: return numbers(c, f.unit);
    }
  }

  bool is() { return take({"is"}) || take({"are"}); }

  Cond words(Cond c, const std::vector<std::string>& all) {
    c.kind = Cond::Kind::among;
    if (!is()) throw Trouble{"expected is"};
    c.negated = take({"not"});
    const bool one_of = take({"one", "of"});
    for (;;) {
      const int w = word_of(all);
      if (w < 0) throw Trouble{"no such value: " + peek().text};
      c.words.push_back(w);
      const std::size_t before = at_;
      bool more = one_of && take({","});
      more = take({"or"}) || more;
      const std::size_t value = at_;
      if (more && word_of(all) >= 0) {
        at_ = value;
        continue;
      }
      at_ = before;
      return c;
    }
  }

  Cond verdicts(Cond c) {
    static const std::vector<std::string> all = {"outside", "referred", "withheld", "discouraged", "advised", "allowed", "silent", "unanswered"};
    const std::size_t begin = at_;
    if (is() && take({"with", "care"})) {
      c.kind = Cond::Kind::with_care;
      return c;
    }
    at_ = begin;
    return words(c, all);
  }

  // A number of these units, or of a grade its word, or a day or a minute.
  Fraction measured(const Cond& c, std::string* unit) {
    if (c.of == Cond::Of::finding && m_.findings[static_cast<std::size_t>(c.index)].kind == Finding::Kind::grade) {
      const int w = word_of(m_.findings[static_cast<std::size_t>(c.index)].words);
      return w < 0 ? throw Trouble{"no such grade: " + peek().text} : Fraction(w);
    }
    if (peek().kind == Token::Kind::clock) return next().number;
    const Fraction n = number();
    const auto month = std::find(months.begin(), months.end(), peek().text);
    if (month != months.end()) {
      static const std::array<int, 12> before = {0, 31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335};
      next();
      return before[static_cast<std::size_t>(month - months.begin())] + n - 1;
    }
    if (peek().kind == Token::Kind::word && !peek().text.empty() && units().count(peek().text)) *unit = next().text;
    take({"ago"});
    return n;
  }

  static Fraction converted(const Fraction& n, const std::string& from, const std::string& to) {
    const Unit &a = units().at(from), &b = units().at(to);
    if (a.dimension != b.dimension) throw Trouble{"units: " + from + " and " + to};
    return (n * a.factor + a.zero - b.zero) / b.factor;
  }

  Cond numbers(Cond c, const std::string& unit) {
    using How = Cond::How;
    const std::string target = unit == "%" ? "" : unit;  // what is measured in % is computed as a plain number
    std::string in = unit, last_in = unit;
    c.kind = Cond::Kind::compare;
    const auto one = [&](How how) {
      c.how = how;
      const Fraction n = measured(c, &in);
      c.numerals = {in == target ? n : converted(n, in, target)};
      return c;
    };
    if (take({"under"})) return one(How::under);
    if (take({"over"})) return one(How::over);
    if (take({"at", "least"})) return one(How::at_least);
    if (take({"at", "most"})) return one(How::at_most);
    if (take({"from"})) {
      c.how = How::from_to;
      std::string first_in;
      const Fraction first = measured(c, &first_in);
      need({"to"});
      const Fraction second = measured(c, &last_in);
      if (first_in.empty()) first_in = last_in;
      c.numerals = {converted(first, first_in, target), converted(second, last_in, target)};
      return c;
    }
    if (!is()) throw Trouble{"expected a comparison, found " + peek().text};
    c.negated = take({"not"});
    if (take({"never"})) {
      c.kind = Cond::Kind::never;
      return c;
    }
    c.kind = Cond::Kind::numbers;
    const Fraction n = measured(c, &in);
    c.numerals = {converted(n, in, target)};
    return c;
  }

  // ---- third: what is said

  void mark(Spot::What what, int index, std::size_t begin) { book_.places[now_->file].push_back({begin, {what, index, 0}}); }

  void put(Sentence s, std::size_t begin) {
    mark(Spot::What::sentence, static_cast<int>(m_.sentences.size()), begin);
    m_.sentences.push_back(std::move(s));
  }

  void tell() {
    ++book_.sentences;
    const std::size_t begin = now_->tokens[0].begin;
    if (take({"practice"}) || take({"practices"})) return head_of_practices();
    if (take({"choice"})) return head_ = {}, head_.head = Sentence::Head::choice, head_.choice = take_name(Named::Of::choice).index, void();
    if (take({"every", "practice"})) {
      head_ = {};
      head_.head = Sentence::Head::every;
      if (take({"in"})) head_.head = Sentence::Head::group, head_.group = take_name(Named::Of::group).index;
      return;
    }
    if (take({"it", "cannot", "be", "that"})) {
      mark(Spot::What::background, static_cast<int>(m_.backgrounds.size()), begin);
      return m_.backgrounds.push_back({level(), false});
    }
    if (take({"applies", "to"})) {
      mark(Spot::What::applies, static_cast<int>(m_.applies.size()), begin);
      return m_.applies.push_back({level(), false});
    }
    if (take({"claim"})) return claim(begin);
    if (take({"in"})) return in_line(begin);
    if (take({"refer"})) {
      Sentence s;
      s.kind = Sentence::Kind::refer, s.head = Sentence::Head::none;
      endings(s);
      return put(std::move(s), begin);
    }
    static const std::set<std::string> elsewhere = {"ruleset", "use", "source", "school", "unit", "applies", "finding", "ask", "note", "measure", "tally",
                                                    "leading", "term", "group", "contraindications", "profile", "expect"};
    if (elsewhere.count(peek().text)) return mark(Spot::What::sample, 0, begin);
    sentence(begin);
  }

  void head_of_practices() {
    head_ = {};
    do {
      head_.practices.push_back(take_name(Named::Of::practice).index);
      also();
    } while (take({","}));
  }

  void claim(std::size_t begin) {
    referee::Claim c;
    c.title = next().text;
    need({":"});
    c.never = take({"never"});
    if (!c.never) need({"always"});
    c.what = level();
    if (take({"in"})) c.when = level();
    mark(Spot::What::claim, static_cast<int>(m_.claims.size()), begin);
    m_.claims.push_back(std::move(c));
  }

  void in_line(std::size_t begin) {
    const Cond when = level();
    need({":"});
    ++lines_;
    for (bool first = true; first || take({";"}); first = false) {
      Sentence s;
      s.head = Sentence::Head::in_line, s.line = lines_, s.when = when;
      const std::size_t item = peek().begin;
      do {
        take({"and"});
        s.practices.push_back(take_name(Named::Of::practice).index);
      } while (take({","}) || sees({"and"}));
      if (!is()) throw Trouble{"expected is or are"};
      const std::string verdict = next().text;
      s.kind = verdict == "advised" ? Sentence::Kind::indicated : verdict == "allowed" ? Sentence::Kind::allowed
               : verdict == "withheld" ? Sentence::Kind::contraindicated : Sentence::Kind::discouraged;
      s.with_care = take({"with", "care"});
      endings(s);
      put(std::move(s), first ? begin : item);
    }
  }

  void sentence(std::size_t begin) {
    using Kind = Sentence::Kind;
    Sentence s = head_;
    const std::string word = next().text;
    static const std::map<std::string, Kind> kinds = {
        {"indicated", Kind::indicated}, {"allowed", Kind::allowed}, {"discouraged", Kind::discouraged}, {"contraindicated", Kind::contraindicated},
        {"caution", Kind::caution}, {"dose", Kind::dose}, {"follows", Kind::follows}, {"precedes", Kind::precedes}, {"needs", Kind::needs},
        {"leads", Kind::leads_to}, {"never", Kind::never_with}, {"apart", Kind::apart}, {"time", Kind::time}, {"takes", Kind::takes},
        {"uses", Kind::uses}, {"otherwise", Kind::otherwise}, {"take", Kind::take}, {"refuse", Kind::refuse}};
    const auto kind = kinds.find(word);
    if (kind == kinds.end()) throw Trouble{"a sentence that begins with " + word};
    s.kind = kind->second;
    if (s.head == Sentence::Head::choice) {
      if (s.kind == Kind::otherwise) s.kind = Kind::choice_otherwise;
      do {
        s.values.push_back(word_of(m_.choices[static_cast<std::size_t>(s.choice)].words));
        if (s.values.back() < 0) throw Trouble{"no such value of the choice: " + peek().text};
      } while (take({","}));
    } else if (s.kind == Kind::uses) {
      s.choice = take_name(Named::Of::choice).index;
    } else if (s.kind == Kind::otherwise) {
      static const std::map<std::string, Verdict> verdicts = {
          {"withheld", Verdict::withheld}, {"discouraged", Verdict::discouraged}, {"advised", Verdict::advised}, {"allowed", Verdict::allowed}};
      s.verdict = verdicts.at(next().text);
      s.with_care = take({"with", "care"});
    } else if (referee::about_the_day(s.kind) || s.kind == Kind::dose) {
      while (!done() && peek().kind != Token::Kind::citation && !sees({"in"}) && !sees({"when"}) && !sees({"unless"}) && !sees({",", "unless"})) ++at_;
    }
    endings(s);
    put(std::move(s), begin);
  }

  void endings(Sentence& s) {
    const std::set<std::string> stops = {"in", "when", "unless", "despite", "for", "called"};
    while (!done() && !sees({";"})) {
      take({","});
      if (take({"in"}) || take({"when"})) s.when = level();
      else if (take({"unless"})) s.unless = level();
      else if (take({"called"})) s.label = words_until(stops);
      else if (take({"despite"})) despite_.emplace_back(m_.sentences.size(), words_until(stops));
      else if (take({"for"})) s.aim = next().text;
      else if (take({":"})) s.text = next().text;
      else if (peek().kind == Token::Kind::citation) cite(s, next().text);
      else throw Trouble{"what is this: " + peek().text};
    }
  }

  void cite(Sentence& s, const std::string& works) {
    for (std::size_t at = 0; at < works.size();) {
      const std::size_t end = std::min(works.find(';', at), works.size());
      std::string word = works.substr(at, end - at);
      word.erase(0, std::min(word.find_first_not_of(' '), word.size()));
      word = word.substr(0, word.find(' '));
      std::transform(word.begin(), word.end(), word.begin(), [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
      s.cites.push_back(source(word));
      at = end + 1;
    }
  }

  Book& book_;
  Model& m_;
  const Said* now_ = nullptr;
  std::size_t at_ = 0;
  std::map<std::string, Named> names_;
  Sentence head_;
  std::vector<std::pair<std::size_t, std::string>> despite_;
  int lines_ = 0;
};

void gather(Book& book, const std::string& name, const std::function<std::string(const std::string&)>& text_of, std::vector<Said>& into) {
  const std::size_t file = book.files.size();
  book.files.push_back(name);
  const std::string text = text_of(name);
  for (Said& s : Letters(text, file).all()) {
    if (s.tokens[0].text == "use" && s.tokens.size() == 2) gather(book, s.tokens[1].text, text_of, into);
    into.push_back(std::move(s));
  }
}

}  // namespace

Book read_book(const std::string& root, const std::function<std::string(const std::string& name)>& text_of) {
  Book book;
  std::vector<std::string> texts;
  std::vector<Said> said;
  gather(book, root, text_of, said);
  book.places.resize(book.files.size());
  Reader(book).all(said);
  for (auto& places : book.places)
    std::sort(places.begin(), places.end(), [](const auto& a, const auto& b) { return a.begin < b.begin; });
  return book;
}

}  // namespace betony::oracle
