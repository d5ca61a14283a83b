#include <algorithm>

#include "grammar/build.h"
#include "grammar/collect.h"
#include "grammar/files.h"
#include "grammar/grammar.h"
#include "grammar/refusals.h"
#include "grammar/rules.h"
#include "grammar/text.h"

namespace betony {
namespace {

bool speaks_of_a_practice(Word opening) {
  if (opening == Word::otherwise) return true;
  return opening >= Word::indicated && opening <= Word::uses;
}

// What stood above a sentence.
struct Standing {
  Above above;
  bool practice = false, profile = false;
  std::optional<Word> last;  // the opening of the sentence above, but for Ask and Note
  std::optional<Place> ruleset;
};

// A sentence as read, or what is wrong with it; neither where enough has been told.
struct Attempt {
  std::optional<tree::Form> form;
  std::optional<Message> message;
};

// Reads the sentences in order.
class Reader {
 public:
  Reader(const Book& book, const Names& names, const Limits& limits, Told& told, std::vector<tree::Sentence>& out)
      : book_(book), names_(names), limits_(limits), told_(told), out_(out) {}

  void read(const RawSentence& sentence);

 private:
  Reading reading(const Passage& passage) const { return {passage, names_, book_, limits_, standing_.above}; }
  tree::Form form_of(Reading& r, std::optional<Word> opening) const;
  Attempt attempt(const Passage& passage);
  void check_place(const Reading& r, Word opening) const;
  void remember(const Reading& r, std::optional<Word> opening);
  bool read_pieces(const RawSentence& sentence, const std::vector<Span>& pieces, std::size_t least);
  bool name_ran_on(const tree::Form& form) const;
  std::optional<std::uint32_t> start_within_a_value(const tree::Form& form, const std::vector<std::uint32_t>& starts) const;
  void tell_line_that_begins_so(Span piece, std::uint32_t file);
  void keep(tree::Form form, Place place) { out_.push_back({place, std::move(form)}); }
  void tell(Attempt& attempt);
  bool within_bounds(const RawSentence& sentence);
  void tell_missing_stop(const Passage& passage, const std::string& what_follows);

  const Book& book_;
  const Names& names_;
  const Limits& limits_;
  Told& told_;
  std::vector<tree::Sentence>& out_;
  Standing standing_;
  std::size_t parts_ = 0;
  bool full_ = false;
};

// ---------------------------------------------------------------- what must stand above

void Reader::check_place(const Reading& r, Word opening) const {
  const auto refuse_here = [&](std::string matter, std::string message, std::string remedy) {
    const std::size_t end = std::max<std::size_t>(word_at(r.text(), 0, opening), 1);
    refuse(r, 0, end, std::move(matter), std::move(message), std::move(remedy));
  };
  const bool of_choice = opening == Word::take || opening == Word::refuse;
  if (of_choice && !standing_.above.choice) {
    refuse_here("no choice is named above", "This sentence is about a choice, and none stands above it.",
                below(r, "Choice … is one of …, …."));
  }
  if (speaks_of_a_practice(opening) && !standing_.practice && !(opening == Word::otherwise && standing_.above.choice)) {
    refuse_here("no practice is named above", "This sentence speaks about a practice, and none is named above it.",
                below(r, "Practice …."));
  }
  if (opening == Word::expect && !standing_.profile) {
    refuse_here("no profile stands above",
                "Expect says what the teaching should say of a sample person, and none stands above it.",
                below(r, "Profile \"…\": …."));
  }
  if (opening == Word::ask && standing_.last != Word::finding) {
    refuse_here("no finding stands above", "Ask gives the question for the finding above it, and none stands there.",
                below(r, "Finding … is yes or no."));
  }
  if (opening == Word::note && !standing_.last) {
    refuse_here("nothing stands above", "Note is a remark on what stands above it, and nothing does.",
                below(r, "Practice …."));
  }
  if (opening == Word::ruleset && standing_.ruleset) {
    refuse_here("a second title",
                "The ruleset has its title in " + book_.line_words(*standing_.ruleset, r.passage.place(0, 0).file) +
                    " already; another book can be named as a source.",
                "Source … is \"…\", ….");
  }
}

void Reader::remember(const Reading& r, std::optional<Word> opening) {
  if (!opening) return;
  const bool head = *opening == Word::practice || *opening == Word::practices || *opening == Word::every_practice;
  if (head) standing_.practice = true, standing_.above.choice_is_last = false;
  if (*opening == Word::choice) {
    standing_.above.choice = names_.longest(choice_name, r.text(), word_at(r.text(), 0, Word::choice) + 1).entry;
    standing_.above.choice_is_last = standing_.above.choice != nullptr;
  }
  if (*opening == Word::profile) standing_.profile = true;
  if (*opening == Word::ruleset && !standing_.ruleset) standing_.ruleset = r.passage.place(0, 1);
  if (*opening != Word::ask && *opening != Word::note) standing_.last = opening;
}

// ---------------------------------------------------------------- one sentence

// Marks that reorder what is seen could let a sentence show other than it is read.
void refuse_hidden_marks(const Reading& r) {
  const auto text = r.text();
  for (std::size_t at = 0; at < text.size();) {
    if (static_cast<unsigned char>(text[at]) < 0x80) {
      ++at;
      continue;
    }
    const auto letter = letters::letter_at(text, at);
    if (letters::is_bidi_control(letter.code)) {
      refuse(r, at, at + letter.bytes, "a hidden mark",
             "A mark that cannot be seen stands here and turns the order of what is shown; letters that run from "
             "right to left need no mark.",
             corrected(r, at, at + letter.bytes, ""));
    }
    at += letter.bytes;
  }
}

tree::Form Reader::form_of(Reading& r, std::optional<Word> opening) const {
  refuse_hidden_marks(r);
  if (!opening) throw Refusal{explain_opening(r)};
  check_place(r, *opening);
  if (build::is_declaration(*opening)) {
    grow_declaration(*opening, r);
    return build::declaration(*opening, build::root(r));
  }
  grow_practice_sentence(*opening, r);
  return build::practice_sentence(*opening, build::root(r));
}

Attempt Reader::attempt(const Passage& passage) {
  Reading r = reading(passage);
  const auto opening = opening_of(passage.text());
  Attempt out;
  try {
    if (opening || !told_.full()) out.form = form_of(r, opening);
  } catch (const Failure& failure) {
    if (!told_.full()) out.message = explain(r, *opening, failure);
  } catch (const Refusal& refusal) {
    out.message = refusal.message;
  }
  parts_ += r.nodes.size();
  remember(r, opening);
  return out;
}

void Reader::tell(Attempt& attempt) {
  if (attempt.message) {
    told_.add(std::move(*attempt.message));
  } else {
    told_.count_one();
  }
}

// ---------------------------------------------------------------- names that ran on

// The names that a sentence declares, each with the kinds among which it must have been found before.
struct DeclaredNames {
  std::vector<std::pair<unsigned, const tree::Name*>> all;

  void named(unsigned kinds, const tree::Named& named) {
    all.emplace_back(kinds, &named.name);
    for (const auto& other : named.also) all.emplace_back(kinds, &other);
  }
  void operator()(const tree::FindingLine& line) {
    named(finding_name, line.name);
    if (line.type.kind != tree::Type::Kind::any_of) return;
    for (const auto& value : line.type.values) all.emplace_back(item_name, &value);
  }
  void operator()(const tree::SourceLine& line) { all.emplace_back(source_name, &line.word); }
  void operator()(const tree::SchoolLine& line) { named(school_name, line.name); }
  void operator()(const tree::MeasureLine& line) { named(measure_name, line.name); }
  void operator()(const tree::TallyLine& line) { named(tally_name, line.name); }
  void operator()(const tree::LeadingLine& line) { named(leading_name, line.name); }
  void operator()(const tree::TermLine& line) { named(term_name, line.name); }
  void operator()(const tree::ChoiceLine& line) { named(choice_name, line.name); }
  void operator()(const tree::GroupLine& line) { named(group_name, line.name); }
  void operator()(const tree::PracticeLine& line) {
    for (const auto& practice : line.practices) named(practice_name, practice);
  }
  void operator()(const tree::UnitLine& line) {
    for (const auto& name : line.names) all.emplace_back(unit_name, &name);
  }
  void operator()(const tree::VerdictLine& line) {
    if (line.ending.label) all.emplace_back(label_name, &*line.ending.label);
  }
  void operator()(const auto&) {}
};

// Names are gathered up to a line that begins as a sentence does. Where such a line was read as part of
// a name, either a stop is missing before it, or it only happens to begin so.
bool Reader::name_ran_on(const tree::Form& form) const {
  DeclaredNames declared;
  std::visit(declared, form);
  return std::any_of(declared.all.begin(), declared.all.end(), [&](const auto& name) {
    constexpr unsigned one_space = condition_names | practice_names;
    return !names_.find((name.first & one_space) != 0 ? one_space : name.first, name.second->key);
  });
}

// Values are read up to a joint. Where one holds the beginning of such a line, that beginning.
std::optional<std::uint32_t> Reader::start_within_a_value(const tree::Form& form, const std::vector<std::uint32_t>& starts) const {
  std::vector<Span> values;
  const auto add = [&](const tree::Type& type) {
    for (const tree::Name& value : type.values) values.push_back(value.span);
  };
  if (const auto* finding = std::get_if<tree::FindingLine>(&form)) add(finding->type);
  if (const auto* choice = std::get_if<tree::ChoiceLine>(&form)) add(choice->type);
  if (const auto* leading = std::get_if<tree::LeadingLine>(&form)) values.push_back(leading->otherwise.span);
  for (const std::uint32_t start : starts) {
    const auto after = std::lower_bound(values.begin(), values.end(), start, [](Span value, std::uint32_t at) { return value.begin < at; });
    if (after != values.begin() && start < std::prev(after)->end) return start;
  }
  return std::nullopt;
}

void Reader::tell_line_that_begins_so(Span piece, std::uint32_t file) {
  const std::string_view text = book_.file(file).text;
  const Passage line(text, file, piece);
  const std::size_t word = letters::word_end(line.text(), 0);
  std::string small = line.text().size() > readable ? line.neat(0, word) : line.whole();
  small[0] = static_cast<char>(small[0] - 'A' + 'a');  // an opening word begins with a capital
  told_.add({"a line that begins like a sentence", line.place(0, word),
             "This line goes on with the sentence above it, and " + in_quotes(line.neat(0, word)) +
                 " at its beginning opens a sentence; a small letter does not.",
             small + "."});
}

// ---------------------------------------------------------------- stops that are missing

void Reader::tell_missing_stop(const Passage& passage, const std::string& what_follows) {
  const auto& text = passage.text();
  const std::size_t space = text.rfind(' ');
  const std::size_t begin = space == std::string::npos ? 0 : space + 1;
  told_.add({"a stop is missing", passage.place(begin, text.size()),
             "This sentence has no stop at its end; " + what_follows,
             (text.size() > readable ? passage.neat(begin, text.size()) : passage.whole()) + "."});
}

// The sentence as several that lack their stops. False, and nothing told, where fewer of them can be read than must be.
bool Reader::read_pieces(const RawSentence& sentence, const std::vector<Span>& pieces, std::size_t least) {
  std::vector<Passage> passages;
  std::vector<Attempt> attempts;
  for (const Span piece : pieces) {
    passages.emplace_back(book_.file(sentence.file).text, sentence.file, piece);
    attempts.push_back(attempt(passages.back()));
  }
  const auto read =
      std::count_if(attempts.begin(), attempts.end(), [](const Attempt& a) { return a.form.has_value(); });
  if (static_cast<std::size_t>(read) < least) return false;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (!attempts[i].form) tell(attempts[i]);
    if (i + 1 == pieces.size()) break;
    const std::string line = book_.line_words({sentence.file, pieces[i + 1]}, sentence.file);
    tell_missing_stop(passages[i], "the next one begins on " + line + ".");
  }
  return true;
}

bool Reader::within_bounds(const RawSentence& sentence) {
  if (full_) return false;
  full_ = parts_ > limits_.parts;
  if (full_) told_.add(too_large({sentence.file, {sentence.whole.begin, sentence.whole.begin + 1}}));
  return !full_;
}

void Reader::read(const RawSentence& sentence) {
  if (!within_bounds(sentence)) return;
  const std::string_view text = book_.file(sentence.file).text;
  const Passage passage(text, sentence.file, sentence.body);
  if (sentence.broken) return remember(reading(passage), opening_of(passage.text()));
  const Standing before = standing_;
  Attempt whole = attempt(passage);
  const auto within = whole.form ? start_within_a_value(*whole.form, sentence.starts) : std::nullopt;
  const bool may_be_several = !sentence.starts.empty() && (!whole.form || within || name_ran_on(*whole.form));
  const auto pieces = may_be_several ? pieces_of(sentence, text) : std::vector<Span>{};
  if (pieces.size() > 1) {
    const Standing after = standing_;
    standing_ = before;
    if (read_pieces(sentence, pieces, whole.form ? pieces.size() : 1)) return;
    standing_ = after;
    const auto begins = [&](Span piece) { return within && piece.begin == *within; };
    const auto told = std::find_if(pieces.begin() + 1, pieces.end(), begins);
    if (whole.form) tell_line_that_begins_so(told == pieces.end() ? pieces[1] : *told, sentence.file);
  }
  if (whole.form)
    keep(std::move(*whole.form), {sentence.file, sentence.whole});
  else
    tell(whole);
  if (!sentence.stopped && whole.form) tell_missing_stop(passage, "the file ends after it.");
}

}  // namespace

Outcome<Tree> read_source(SourceFile file, const FileReader& others, const Limits& limits) {
  Book book;
  Told told(limits.messages, book);
  Gathered gathered = gather(std::move(file), others, limits, book, told);
  Names names;
  const bool collected = collect_names(gathered.sentences, book, limits, names, told);
  Tree tree;
  tree.sentences.reserve(gathered.sentences.size());
  Reader reader(book, names, limits, told, tree.sentences);
  for (const RawSentence& sentence : gathered.sentences) {
    if (collected) reader.read(sentence);
  }

  Outcome<Tree> out;
  out.messages = told.in_order();
  if (!out.messages.empty()) return out;
  tree.comments = std::move(gathered.comments);
  tree.files = book.release();
  out.value = std::move(tree);
  return out;
}

}  // namespace betony
