#include "grammar/collect.h"

#include <algorithm>
#include <set>

#include "grammar/build.h"
#include "grammar/refusals.h"
#include "grammar/rules.h"
#include "grammar/text.h"

namespace betony {
namespace {

class Collector {
 public:
  Collector(const Book& book, const Limits& limits, Names& names, Told& told)
      : book_(book), limits_(limits), names_(names), told_(told) {}

  void declarations(const Passage& passage, Word opening, std::uint32_t file);
  void practices_or_leading(const Passage& passage, std::uint32_t file);
  void labels(const Passage& passage, std::uint32_t file);
  void names_that_read_as_more();
  void too_many_practices();
  std::size_t parts() const { return parts_; }

 private:
  Reading reading(const Passage& passage) const { return {passage, names_, book_, limits_}; }
  void finding(const Passage& passage, std::uint32_t file, Word opening);
  void plain(const Passage& passage, std::uint32_t file, Word opening, NameKind kind, Shape shape);
  void units(const Passage& passage, std::uint32_t file);
  void leading(const Passage& passage);
  void practices(const Passage& passage, std::uint32_t file);
  void label(const Passage& passage, std::uint32_t file, std::size_t at);

  void typed(Entry& entry, const build::View& type, std::uint32_t file);
  Entry* declare(NameKind kind, const tree::Named& named, std::uint32_t file);
  bool acceptable(NameKind kind, const tree::Name& name, std::uint32_t file);
  void declared_twice(const Entry& first, const tree::Name& name, std::uint32_t file);
  void say(const tree::Name& name, std::uint32_t file, std::string matter, std::string message, std::string remedy) {
    told_.add({std::move(matter), {file, name.span}, std::move(message), std::move(remedy)});
  }
  // The sentence that is looked at, with another name in place of this one.
  std::string renamed(const tree::Name& name, const std::string& other) const {
    return now_ && now_->text().size() <= readable ? now_->with(name.span, other) + "." : other;
  }

  const Book& book_;
  const Limits& limits_;
  Names& names_;
  Told& told_;
  const Passage* now_ = nullptr;  // the sentence that is looked at
  std::size_t parts_ = 0;
};

// ---------------------------------------------------------------- one name

bool begins_with_digit(std::string_view key) {
  const auto letter = letters::letter_at(key, 0);
  return !letters::is_letter(letter.code);
}

// "three day fever" for "3 day fever"; "day fever 30" for "30 day fever".
std::string without_number_before(const std::string& name) {
  constexpr const char* words[] = {"two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"};
  const std::size_t space = name.find(' ');
  if (space == std::string::npos) return "… " + name;
  const std::string number = name.substr(0, space), rest = name.substr(space + 1);
  for (std::size_t i = 0; i < std::size(words); ++i) {
    if (number == std::to_string(i + 2)) return words[i] + (" " + rest);
  }
  return rest + " " + number;
}

// "hungry" for "not hungry", since a condition can deny it; "over-fed" for "over fed", one word.
std::string without_first_word(const std::string& name, const std::string& first) {
  const std::size_t space = name.find(' ');
  if (space == std::string::npos) return "… " + name;
  if (first == spelled(Word::not_word) || first == spelled(Word::no) || first == "none") return name.substr(space + 1);
  std::string out = name;
  out[space] = '-';
  return out;
}

std::string with_hyphens(std::string name) {
  std::replace(name.begin(), name.end(), ' ', '-');
  return name;
}

std::string first_words(const std::string& name, std::size_t words) {
  std::size_t end = 0;
  while (words-- > 0) end = name.find(' ', end + 1);
  return name.substr(0, end);
}

bool Collector::acceptable(NameKind kind, const tree::Name& name, std::uint32_t file) {
  const auto words = static_cast<std::size_t>(std::count(name.key.begin(), name.key.end(), ' ')) + 1;
  const std::string first = name.key.substr(0, name.key.find(' '));
  if (words > limits_.name_words) {
    say(name, file, "a name too long",
        "This name has " + std::to_string(words) + " words; a name has at most " + std::to_string(limits_.name_words) +
            ", and a note can say the rest.",
        renamed(name, first_words(name.text, 2) + " …") + " Note \"…\".");
  } else if (begins_with_digit(name.key)) {
    say(name, file, "a name begins with a letter",
        in_quotes(name.text) + " begins with a number, and would be read as one.",
        renamed(name, without_number_before(name.text)));
  } else if (kind != label_name && cannot_begin_a_name(first)) {
    say(name, file, "a name that cannot be told apart",
        "A name cannot begin with " + in_quotes(first) + ", a word by which sentences are read.",
        renamed(name, without_first_word(name.text, first)));
  } else if (kind == source_name && words > 1) {
    say(name, file, "one word for a source",
        "A source is cited by one word, and " + in_quotes(name.text) + " has " + std::to_string(words) + ".",
        renamed(name, with_hyphens(name.text)));
  } else {
    return true;
  }
  return kind != source_name && words <= limits_.name_words;
}

void Collector::declared_twice(const Entry& first, const tree::Name& name, std::uint32_t file) {
  if (first.built_in) {
    say(name, file, "a name that is there already",
        in_quotes(name.text) + " is built in, and is asked for without being declared.",
        asked_simply(first, first.text));
    return;
  }
  say(name, file, "one name, declared twice",
      in_quotes(name.text) + " is " + std::string(kind_words(first.kind)) + " already, in " +
          book_.line_words(first.place, file) + "; one of the two needs another name.",
      renamed(name, name.text + " …"));
}

// Nothing where the name cannot be one, or is another's.
Entry* Collector::declare(NameKind kind, const tree::Named& named, std::uint32_t file) {
  if (!acceptable(kind, named.name, file)) return nullptr;
  const auto [entry, added] = names_.declare(kind, named.name, file);
  const bool continued = !added && kind == practice_name && entry->kind == practice_name;
  if (!added && !continued) declared_twice(*entry, named.name, file);
  for (const auto& other : named.also) {
    if (!acceptable(kind, other, file)) continue;
    const Entry* bearer = names_.also(entry, other);
    if (bearer && !(continued && bearer == entry)) declared_twice(*bearer, other, file);
  }
  return added || continued ? entry : nullptr;
}

// ---------------------------------------------------------------- declarations

Shape shape_of(Part type) {
  switch (type) {
    case Part::type_yes_no: return Shape::yes_no;
    case Part::type_one_of: return Shape::one_of;
    case Part::type_grade: return Shape::grade;
    case Part::type_any_of: return Shape::any_of;
    default: return Shape::number;
  }
}

void Collector::typed(Entry& entry, const build::View& type, std::uint32_t file) {
  entry.shape = shape_of(type.part());
  parts_ += type.reading().nodes.size();
  std::vector<tree::Name> values;
  try {
    values = build::type(type).values;
  } catch (const Refusal&) {  // told when the sentence is read
    values = build::names(type);
  }
  for (const auto& value : values) {
    if (!entry.value_words.add(value.key, static_cast<std::uint32_t>(entry.values.size()))) continue;
    entry.values.push_back(value.text);
    if (entry.kind != finding_name || entry.shape != Shape::any_of) continue;
    if (Entry* item = declare(item_name, {value, {}}, file)) {
      item->shape = Shape::yes_no;
      item->of = &entry;
    }
  }
}

void Collector::finding(const Passage& passage, std::uint32_t file, Word opening) {
  const NameKind kind = opening == Word::finding ? finding_name : choice_name;
  Reading r = reading(passage);
  const bool whole = kind == finding_name ? grow_finding_head(r) : grow_choice_head(r);
  if (!whole) return plain(passage, file, opening, kind, Shape::unknown);
  const build::View root = build::root(r);
  Entry* entry = declare(kind, build::named(*root.child(Part::named)), file);
  if (entry) typed(*entry, *build::type_part(root), file);
}

void Collector::plain(const Passage& passage, std::uint32_t file, Word opening, NameKind kind, Shape shape) {
  Reading r = reading(passage);
  if (!grow_named_head(opening, r)) return;
  const tree::Named named = build::named(*build::root(r).child(Part::named));
  if (word_at(named.name.key, 0, Word::is)) return;  // no name at all: told when the sentence is read
  if (Entry* entry = declare(kind, named, file)) entry->shape = shape;
}

void Collector::units(const Passage& passage, std::uint32_t file) {
  Reading r = reading(passage);
  if (!grow_units(r)) return;
  tree::Named named;
  for (auto& name : build::names(build::root(r)))
    (named.name.key.empty() ? named.name : named.also.emplace_back()) = std::move(name);
  declare(unit_name, named, file);
}

void Collector::declarations(const Passage& passage, Word opening, std::uint32_t file) {
  now_ = &passage;
  switch (opening) {
    case Word::finding:
    case Word::choice: return finding(passage, file, opening);
    case Word::measure: return plain(passage, file, opening, measure_name, Shape::number);
    case Word::tally: return plain(passage, file, opening, tally_name, Shape::number);
    case Word::leading: return plain(passage, file, opening, leading_name, Shape::unknown);
    case Word::term: return plain(passage, file, opening, term_name, Shape::yes_no);
    case Word::group: return plain(passage, file, opening, group_name, Shape::none);
    case Word::school: return plain(passage, file, opening, school_name, Shape::none);
    case Word::source: return plain(passage, file, opening, source_name, Shape::none);
    case Word::practice: return plain(passage, file, opening, practice_name, Shape::verdict);
    case Word::unit: return units(passage, file);
    default: return;
  }
}

// ---------------------------------------------------------------- what needs the names of the others

void Collector::leading(const Passage& passage) {
  Reading r = reading(passage);
  if (!grow_leading(r)) return;
  const build::View root = build::root(r);
  const auto named = build::named(*root.child(Part::named));
  auto* entry = const_cast<Entry*>(names_.find(leading_name, named.name.key));
  if (!entry || entry->shape != Shape::unknown) return;
  entry->shape = Shape::one_of;
  auto values = build::names(root);
  for (auto& value : build::names(*root.child(Part::otherwise_value))) values.push_back(std::move(value));
  for (const auto& value : values) {
    if (entry->value_words.add(value.key, static_cast<std::uint32_t>(entry->values.size())))
      entry->values.push_back(value.text);
  }
}

void Collector::practices(const Passage& passage, std::uint32_t file) {
  Reading r = reading(passage);
  if (!grow_practices(r)) return;
  for (const auto view : build::root(r).children(Part::named)) {
    if (Entry* entry = declare(practice_name, build::named(view), file)) entry->shape = Shape::verdict;
  }
}

void Collector::practices_or_leading(const Passage& passage, std::uint32_t file) {
  now_ = &passage;
  if (opening_of(passage.text()) == Word::leading) return leading(passage);
  practices(passage, file);
}

void Collector::label(const Passage& passage, std::uint32_t file, std::size_t at) {
  Reading r = reading(passage);
  if (!grow_label(r, at)) return;
  const tree::Name name = build::name(build::root(r).only());
  if (!acceptable(label_name, name, file)) return;
  const auto [entry, added] = names_.declare(label_name, name, file);
  if (!added) declared_twice(*entry, name, file);
}

bool may_hold_label(const Passage& passage, Word opening) {
  return !build::is_declaration(opening) && passage.text().find(spelled(Word::called)) != std::string::npos;
}

// Labels stand at the ends of sentences; strings, citations and names are passed over, since they may
// hold the word `called` too.
void Collector::labels(const Passage& passage, std::uint32_t file) {
  now_ = &passage;
  const std::string_view text = passage.text();
  for (std::size_t at = 0; at < text.size();) {
    if (text[at] == '"') at = std::min(text.find('"', at + 1), text.size() - 1);
    if (text[at] == '[') at = std::min(text.find(']', at), text.size() - 1);
    const std::size_t end = letters::word_end(text, at);
    if (end == at) {
      at += std::max<std::size_t>(letters::letter_at(text, at).bytes, 1);
      continue;
    }
    const auto name = names_.longest(condition_names | practice_names, text, at);
    if (!name.entry && word_at(text, at, Word::called)) label(passage, file, end);
    at = std::max(end, name.end);
  }
}

// ---------------------------------------------------------------- names that read as more than a name

bool holds_word(std::string_view key, std::initializer_list<Word> words) {
  for (std::size_t at = key.find(' '); at != std::string_view::npos; at = key.find(' ', at + 1)) {
    if (std::any_of(words.begin(), words.end(), [&](Word w) { return word_at(key, at + 1, w) != 0; })) return true;
  }
  return false;
}

void Collector::names_that_read_as_more() {
  for (const auto& [key, number] : names_.spoken()) {
    const Entry& entry = names_.all()[number];
    const bool practice = (entry.kind & practice_names) != 0;
    if (!practice && !(entry.kind & condition_names)) continue;
    const bool maybe = practice ? holds_word(key, {Word::and_word})
                                : holds_word(key, {Word::and_word, Word::or_word, Word::is, Word::under, Word::over,
                                                   Word::at_least, Word::at_most, Word::from});
    if (!maybe) continue;
    const Passage passage(key, entry.place.file, {0, static_cast<std::uint32_t>(key.size())});
    Reading r = reading(passage);
    r.except = &entry;
    if (!(practice ? reads_as_practices(r) : reads_as_condition(r))) continue;
    told_.add({"a name that reads two ways", entry.place,
               in_quotes(key) + " is a name of its own, and reads as " +
                   (practice ? "several practices" : "a condition over other names") + " too.",
               with_hyphens(entry.text)});
  }
}

void Collector::too_many_practices() {
  std::size_t count = 0;
  for (const Entry& entry : names_.all()) {
    if (entry.kind != practice_name || ++count <= limits_.practices) continue;
    told_.add({"too many practices", entry.place,
               "A ruleset has at most " + std::to_string(limits_.practices) +
                   " practices; further ones can stand in a ruleset of their own.",
               "Ruleset \"…\", edition \"…\"."});
    return;
  }
}

}  // namespace

namespace {

// The text up to its last word or sign: no white space behind it, and no comments.
std::string_view up_to_its_last_word(std::string_view text) {
  for (;;) {
    while (!text.empty() && letters::is_white(static_cast<unsigned char>(text.back()))) text.remove_suffix(1);
    const std::size_t line = text.rfind('\n') + 1;  // npos + 1 is 0
    const std::size_t comment = text.find("--", line);
    const bool quoted = text.find('"', line) < comment;
    if (comment == std::string_view::npos || quoted) return text;
    text = text.substr(0, comment);
  }
}

}  // namespace

std::vector<Span> pieces_of(const RawSentence& sentence, std::string_view text) {
  std::vector<Span> out;
  std::uint32_t begin = sentence.body.begin;
  const auto words = [&](std::uint32_t end) { return up_to_its_last_word(text.substr(begin, end - begin)); };
  const auto add = [&](std::uint32_t end) {
    if (const auto length = static_cast<std::uint32_t>(words(end).size()); length > 0) out.push_back({begin, begin + length});
  };
  for (const std::uint32_t start : sentence.starts) {
    if (words(start).ends_with(',')) continue;  // its sentence goes on
    add(start);
    begin = start;
  }
  add(sentence.body.end);
  return out;
}

bool collect_names(const std::vector<RawSentence>& sentences, const Book& book, const Limits& limits, Names& names,
                   Told& told) {
  Collector collector(book, limits, names, told);
  struct Piece {
    std::uint32_t file;
    Span span;
  };
  std::vector<Piece> later, labelled;  // what needs the names of the others
  for (const RawSentence& sentence : sentences) {
    const std::string_view text = book.file(sentence.file).text;
    for (const Span piece : pieces_of(sentence, text)) {
      const Passage passage(text, sentence.file, piece);
      const auto opening = opening_of(passage.text());
      if (!opening) continue;
      collector.declarations(passage, *opening, sentence.file);
      if (collector.parts() > limits.parts / 4) {  // a name kept costs several times what it costs in a sentence
        told.add(too_large({sentence.file, {piece.begin, piece.begin + 1}}));
        return false;
      }
      if (opening == Word::leading || opening == Word::practices) later.push_back({sentence.file, piece});
      if (may_hold_label(passage, *opening)) labelled.push_back({sentence.file, piece});
    }
  }
  const auto passage = [&](const Piece& piece) { return Passage(book.file(piece.file).text, piece.file, piece.span); };
  for (const Piece& piece : later) collector.practices_or_leading(passage(piece), piece.file);
  for (const Piece& piece : labelled) collector.labels(passage(piece), piece.file);
  collector.names_that_read_as_more();
  collector.too_many_practices();
  return true;
}

Message too_large(Place where) {
  return {
      "a ruleset too large", where,
      "The sentences before this one hold more than can be read together; this one and those after it are not read, "
      "and can stand in a ruleset of their own.",
      "Ruleset \"…\", edition \"…\"."};
}

}  // namespace betony
