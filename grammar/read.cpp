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

// Reads the sentences in order, and remembers what stood above each.
class Reader {
 public:
  Reader(const Book& book, const Names& names, const Limits& limits, Told& told, std::vector<tree::Sentence>& out)
      : book_(book), names_(names), limits_(limits), told_(told), out_(out) {}

  void read(const RawSentence& sentence);

 private:
  Reading reading(const Passage& passage) const { return {passage, names_, book_, limits_, above_}; }
  std::optional<tree::Form> form_of(const Passage& passage);
  void check_place(const Reading& r, Word opening) const;
  void remember(const Reading& r, std::optional<Word> opening);
  void read_pieces(const RawSentence& sentence);
  bool attempt(const RawSentence& sentence, Span body, Span whole, bool tell);
  void stop_missing(const RawSentence& sentence, Span body, std::string_view why);

  const Book& book_;
  const Names& names_;
  const Limits& limits_;
  Told& told_;
  std::vector<tree::Sentence>& out_;

  Above above_;
  bool practice_above_ = false, profile_above_ = false;
  std::optional<Word> last_;  // the opening of the sentence above, but for Ask and Note
  std::optional<Place> ruleset_;
};

// ---------------------------------------------------------------- what must stand above

void Reader::check_place(const Reading& r, Word opening) const {
  const auto refuse_here = [&](std::string matter, std::string message, std::string remedy) {
    const std::size_t end = std::max<std::size_t>(word_at(r.text(), 0, opening), 1);
    refuse(r, 0, end, std::move(matter), std::move(message), std::move(remedy));
  };
  const bool of_choice = opening == Word::take || opening == Word::refuse;
  if (of_choice && !above_.choice) {
    refuse_here("no choice is named above", "This sentence is about a choice, and none stands above it.", "Choice … is one of …, …., above it");
  }
  if (speaks_of_a_practice(opening) && !practice_above_ && !(opening == Word::otherwise && above_.choice)) {
    refuse_here("no practice is named above", "This sentence speaks about a practice, and none is named above it.", "Practice …., above it");
  }
  if (opening == Word::expect && !profile_above_) {
    refuse_here("no profile stands above", "Expect says what the teaching should say of a sample person, and none stands above it.",
                "Profile \"…\": …., above it");
  }
  if (opening == Word::ask && last_ != Word::finding) {
    refuse_here("no finding stands above", "Ask gives the question for the finding above it, and none stands there.",
                "Let it follow its finding: Finding … is …. Ask \"…\".");
  }
  if (opening == Word::note && !last_) {
    refuse_here("nothing stands above", "Note is a remark on what stands above it, and nothing does.", "Let it follow what it is about.");
  }
  if (opening == Word::ruleset && ruleset_) {
    refuse_here("a second title", "The ruleset has its title in " + book_.line_words(*ruleset_, r.passage.place(0, 0).file) + " already.", "Take one of them out.");
  }
}

void Reader::remember(const Reading& r, std::optional<Word> opening) {
  if (!opening) return;
  const bool head = *opening == Word::practice || *opening == Word::practices || *opening == Word::every_practice;
  if (head) practice_above_ = true, above_.choice_is_last = false;
  if (*opening == Word::choice) {
    above_.choice = names_.longest(choice_name, r.text(), word_at(r.text(), 0, Word::choice) + 1).entry;
    above_.choice_is_last = above_.choice != nullptr;
  }
  if (*opening == Word::profile) profile_above_ = true;
  if (*opening == Word::ruleset && !ruleset_) ruleset_ = r.passage.place(0, 1);
  if (*opening != Word::ask && *opening != Word::note) last_ = opening;
}

// ---------------------------------------------------------------- one sentence

// Marks that reorder what is seen could let a sentence show other than it is read.
void refuse_hidden_marks(const Reading& r) {
  const auto text = r.text();
  for (std::size_t at = 0; at < text.size();) {
    const auto letter = letters::letter_at(text, at);
    if (letters::is_bidi_control(letter.code)) {
      refuse(r, at, at + letter.bytes, "a hidden mark", "A mark that cannot be seen stands here and turns the order of what is shown.",
             "Take it out; letters that run from right to left need no mark.");
    }
    at += letter.bytes;
  }
}

std::optional<tree::Form> Reader::form_of(const Passage& passage) {
  Reading r = reading(passage);
  const auto opening = opening_of(passage.text());
  struct Remember {
    Reader& reader;
    Reading& r;
    std::optional<Word> opening;
    ~Remember() { reader.remember(r, opening); }
  } remember{*this, r, opening};
  try {
    refuse_hidden_marks(r);
    if (!opening) {
      if (!told_.full()) throw Refusal{explain_opening(r)};
      told_.count_one();
      return std::nullopt;
    }
    check_place(r, *opening);
    if (build::is_declaration(*opening)) {
      grow_declaration(*opening, r);
      return build::declaration(*opening, build::root(r));
    }
    grow_practice_sentence(*opening, r);
    return build::practice_sentence(*opening, build::root(r));
  } catch (const Failure& failure) {
    if (told_.full()) {
      told_.count_one();
    } else {
      told_.add(explain(r, *opening, failure));
    }
  } catch (const Refusal& refusal) {
    told_.add(refusal.message);
  }
  return std::nullopt;
}

void Reader::read(const RawSentence& sentence) {
  const std::string_view text = book_.file(sentence.file).text;
  const Passage passage(text, sentence.file, sentence.body);
  if (sentence.broken) {
    Reading r = reading(passage);
    remember(r, opening_of(passage.text()));
    return;
  }
  auto form = form_of(passage);
  if (form) out_.push_back({{sentence.file, sentence.whole}, std::move(*form)});
}

}  // namespace

Outcome<Tree> read_source(SourceFile file, const FileReader& others, const Limits& limits) {
  Book book;
  Told told(limits.messages);
  Gathered gathered = gather(std::move(file), others, limits, book, told);
  Names names;
  collect_names(gathered.sentences, book, limits, names, told);
  Tree tree;
  tree.sentences.reserve(gathered.sentences.size());
  Reader reader(book, names, limits, told, tree.sentences);
  for (const RawSentence& sentence : gathered.sentences) reader.read(sentence);

  Outcome<Tree> out;
  out.messages = told.in_order();
  if (!out.messages.empty()) return out;
  tree.comments = std::move(gathered.comments);
  tree.files = book.release();
  out.value = std::move(tree);
  return out;
}

}  // namespace betony
