#include "compiler/ruleset.h"

#include <algorithm>

#include "compiler/compiler.h"
#include "compiler/typing.h"
#include "grammar/text.h"

namespace betony {

// ---------------------------------------------------------------- what all passes share

Typing::Typing(Tree tree) {
  ruleset.tree = std::move(tree);
  line_indices_.resize(ruleset.tree.files.size());
}

void Typing::tell(Span where, std::string matter, std::string message, std::string remedy) {
  tell_at(place(where), std::move(matter), std::move(message), std::move(remedy));
}

void Typing::tell_at(Place where, std::string matter, std::string message, std::string remedy) {
  messages.push_back({std::move(matter), where, std::move(message), std::move(remedy)});
}

const Unit* Typing::unit(const tree::Unit& written) {
  auto [at, fresh] = unit_readings_.try_emplace(written.text);
  if (fresh) at->second = units.read(written.text);
  if (at->second.unit) return &*at->second.unit;
  const std::string& remedy = at->second.remedy;
  tell(written.span, "a unit that is not known", at->second.message,
       remedy.empty() ? without(written.span) : remedy.ends_with('.') ? remedy : corrected(written.span, remedy));
  return nullptr;
}

std::string Typing::corrected(Span piece, const std::string& instead, std::optional<Span> around) const {
  const Place whole = around ? Place{file_, *around} : sentences()[open_].place;
  constexpr std::uint32_t readable = 240;
  if (whole.span.end - whole.span.begin > readable) return instead;
  const std::string& text = ruleset.tree.files[file_].text;
  const auto white = [&](std::uint32_t at) { return at < text.size() && letters::is_white(static_cast<unsigned char>(text[at])); };
  std::string out = written({file_, {whole.span.begin, piece.begin}});
  if (!out.empty() && !instead.empty() && white(piece.begin - 1)) out += ' ';
  out += instead;
  const std::string rest = written({file_, {piece.end, whole.span.end}});
  if (!rest.empty() && white(piece.end)) out += ' ';
  return out + rest;
}

std::string Typing::without(Span piece) const {
  const std::string& text = ruleset.tree.files[file_].text;
  while (piece.begin > 0 && letters::is_white(static_cast<unsigned char>(text[piece.begin - 1]))) --piece.begin;
  if (piece.begin > 0 && text[piece.begin - 1] == ',') --piece.begin;
  return corrected(piece, "");
}

std::string Typing::line(const Place& where) {
  const SourceFile& file = ruleset.tree.files[where.file];
  auto& index = line_indices_[where.file];
  if (!index) index = std::make_unique<LineIndex>(file);
  std::string words = index->words(where.span.begin);
  if (where.file != file_) words += " of " + file.name;
  return words;
}

std::string Typing::written(const Place& where) const { return betony::written(ruleset.tree, where); }

bool Typing::spend(std::size_t amount, Span where) {
  spent += amount;
  if (spent <= most_spent) return true;
  if (!told_spent_)
    tell(where, "more than can be held", "Up to here the ruleset speaks of its practices, findings and conditions more than " + std::to_string(most_spent) + " times in all, which is more than can be held at once; a part of it can stand in a ruleset of its own.",
         "Ruleset \"…\", edition \"…\".");
  told_spent_ = true;
  return false;
}

// ---------------------------------------------------------------- the passes, in order

namespace {

// In source order; past the number that is told one by one, one message counts the rest.
std::vector<Message> in_order(std::vector<Message> messages) {
  std::stable_sort(messages.begin(), messages.end(), [](const Message& a, const Message& b) {
    return std::pair(a.where.file, a.where.span.begin) < std::pair(b.where.file, b.where.span.begin);
  });
  messages.erase(std::unique(messages.begin(), messages.end(),
                             [](const Message& a, const Message& b) { return a.where == b.where && a.message == b.message; }),
                 messages.end());
  const std::size_t most = Limits{}.messages;
  if (messages.size() <= most) return messages;
  const std::size_t rest = messages.size() - most;
  messages.resize(most + 1);
  messages.back().matter = "more of the same";
  messages.back().message = std::to_string(rest) + " further messages are not shown; they are told when these are mended.";
  messages.back().remedy.clear();
  return messages;
}

void run(Typing& typing) {
  declare_units(typing);
  collect_headings(typing);
  collect_names(typing);
  type_sources(typing);
  order_definitions(typing);
  type_findings(typing);
  type_choice_kinds(typing);
  type_groups(typing);
  type_notes(typing);
  type_definitions(typing);
  type_sentences(typing);
  check_labels(typing);
  check_otherwise(typing);
  type_backgrounds(typing);
  type_claims(typing);
  type_profiles(typing);
  type_populations(typing);
}

}  // namespace

std::string written(const Tree& tree, const Place& where) {
  const std::string& text = tree.files[where.file].text;
  const std::uint32_t end = std::min<std::uint32_t>(where.span.end, static_cast<std::uint32_t>(text.size()));
  std::uint32_t at = std::min(where.span.begin, end);
  const auto& comments = tree.comments;
  auto comment = std::lower_bound(comments.begin(), comments.end(), std::pair(where.file, at), [](const tree::Comment& c, const auto& from) {
    return std::pair(c.file, c.span.begin) < from;
  });
  std::string folded;
  const auto add = [&](std::uint32_t piece_end) {
    while (at < piece_end) {
      const auto letter = letters::letter_at(std::string_view(text).substr(0, piece_end), at);
      if (!letters::is_white(letter.code)) folded.append(text, at, letter.bytes);
      else if (!folded.empty() && folded.back() != ' ') folded += ' ';
      at += static_cast<std::uint32_t>(letter.bytes);
    }
  };
  for (; comment != comments.end() && comment->file == where.file && comment->span.begin < end; ++comment) {
    add(comment->span.begin);
    at = std::min(comment->span.end, end);
  }
  add(end);
  if (!folded.empty() && folded.back() == ' ') folded.pop_back();
  return folded;
}

std::string words_of(const Ruleset& ruleset, const Sentence& sentence) {
  return sentence.words.empty() ? written(ruleset.tree, sentence.place) : sentence.words;
}

Profile profile_of(const Ruleset& ruleset, const SampleProfile& sample) {
  Profile profile(ruleset.findings.size());
  if (sample.rest_as_usual)
    for (Index f = 0; f < profile.size(); ++f) profile[f] = ruleset.findings[f].usual;
  for (const SampleProfile::Answer& answer : sample.answers) profile[answer.finding] = answer.value;
  return profile;
}

Outcome<Ruleset> type_ruleset(Tree tree) {
  Typing typing(std::move(tree));
  run(typing);
  Outcome<Ruleset> out;
  for (Message& message : typing.messages)
    message = as_given(typing.ruleset.tree.files[message.where.file], std::move(message));
  out.messages = in_order(std::move(typing.messages));
  typing.ruleset.units = std::move(typing.units);
  if (out.messages.empty()) out.value = std::move(typing.ruleset);
  return out;
}

Outcome<Ruleset> read_ruleset(SourceFile file, const FileReader& others, const Limits& limits) {
  Outcome<Tree> tree = read_source(std::move(file), others, limits);
  if (tree) return type_ruleset(std::move(*tree.value));
  Outcome<Ruleset> out;
  out.messages = std::move(tree.messages);
  return out;
}

}  // namespace betony
