// Which names a ruleset declares, and finding them again by kind.
#include <algorithm>

#include "grammar/nearness.h"
#include "compiler/typing.h"

namespace betony {
namespace {

using tree::ChoiceLine;
using tree::FindingLine;
using tree::GroupLine;
using tree::LeadingLine;
using tree::MeasureLine;
using tree::Name;
using tree::Named;
using tree::PracticeLine;
using tree::TallyLine;
using tree::TermLine;
using tree::Type;

struct Collector {
  Typing& typing;

  // Enters a name and its other names; a second declaration is told where it stands.
  void enter(const Named& named, Known::Kind kind, Index index) {
    enter_one(named.name, kind, index, named.name.text);
    for (const Name& also : named.also) enter_one(also, kind, index, named.name.text);
  }

  void enter_one(const Name& name, Known::Kind kind, Index index, const std::string& shown) {
    if (name.key == "date" || name.key == "time of day") return tell_built_in(name);
    const auto [at, fresh] = typing.names.try_emplace(name.key, Known{kind, index, shown, typing.place(name.span)});
    if (fresh) typing.name_list.push_back(name.key);
    else tell_again(name, at->second);
  }

  void tell_built_in(const Name& name) {
    typing.tell(name.span, "a name that is taken", in_quotes(name.text) + " is built in: every ruleset may ask for it without declaring it.",
                "Leave this sentence out, or choose another name.");
  }

  void tell_again(const Name& name, const Known& first) {
    typing.tell(name.span, "a name declared twice",
                in_quotes(name.text) + " already names " + kind_word(first.kind) + " (" + typing.line(first.place) + ").",
                "Choose another name here, or leave out one of the two.");
  }

  void operator()(const FindingLine& line) {
    if (line.type.kind == Type::Kind::any_of) return any_of(line);
    Finding finding;
    finding.name = line.name.name.text;
    for (const Name& also : line.name.also) finding.also.push_back(also.text);
    finding.place = typing.place(line.name.name.span);
    finding.sentence = sentence;
    enter(line.name, Known::Kind::finding, add(std::move(finding)));
  }

  void any_of(const FindingLine& line) {
    Whole whole{line.name.name.text, {}};
    for (const Name& item : line.type.values) {
      Finding finding;
      finding.name = item.text;
      finding.part_of = whole.name;
      finding.place = typing.place(item.span);
      finding.sentence = sentence;
      whole.items.push_back(add(std::move(finding)));
      enter_one(item, Known::Kind::finding, whole.items.back(), item.text);
    }
    typing.wholes.push_back(std::move(whole));
    enter(line.name, Known::Kind::any_of, static_cast<Index>(typing.wholes.size() - 1));
  }

  Index add(Finding finding) {
    typing.ruleset.findings.push_back(std::move(finding));
    return static_cast<Index>(typing.ruleset.findings.size() - 1);
  }

  // Definitions get the number of their sentence for now; type_order.cpp gives them their index.
  void operator()(const MeasureLine& line) { enter(line.name, Known::Kind::measure, sentence); }
  void operator()(const TermLine& line) { enter(line.name, Known::Kind::term, sentence); }
  void operator()(const TallyLine& line) { enter(line.name, Known::Kind::tally, sentence); }
  void operator()(const LeadingLine& line) { enter(line.name, Known::Kind::leading, sentence); }
  void operator()(const ChoiceLine& line) { enter(line.name, Known::Kind::choice, sentence); }

  void operator()(const PracticeLine& line) {
    for (const Named& named : line.practices) practice(named);
  }

  void practice(const Named& named) {
    Index index = static_cast<Index>(typing.ruleset.practices.size());
    const auto known = typing.names.find(named.name.key);
    if (known != typing.names.end() && known->second.kind == Known::Kind::practice) {
      index = known->second.index;  // continued
    } else {
      Practice practice;
      practice.name = named.name.text;
      practice.place = typing.place(named.name.span);
      practice.sentence = sentence;
      typing.ruleset.practices.push_back(std::move(practice));
      enter_one(named.name, Known::Kind::practice, index, named.name.text);
    }
    for (const Name& also : named.also) other_name(also, index);
  }

  void other_name(const Name& also, Index index) {
    const auto known = typing.names.find(also.key);
    if (known != typing.names.end() && known->second.kind == Known::Kind::practice && known->second.index == index) return;
    typing.ruleset.practices[index].also.push_back(also.text);
    enter_one(also, Known::Kind::practice, index, typing.ruleset.practices[index].name);
  }

  void operator()(const GroupLine& line) {
    Group group;
    group.name = line.name.name.text;
    for (const Name& also : line.name.also) group.also.push_back(also.text);
    group.place = typing.place(line.name.name.span);
    group.sentence = sentence;
    typing.ruleset.groups.push_back(std::move(group));
    enter(line.name, Known::Kind::group, static_cast<Index>(typing.ruleset.groups.size() - 1));
  }

  template <class Other>
  void operator()(const Other&) {}

  Index sentence = 0;
};

bool wanted_kind(Known::Kind kind, std::initializer_list<Known::Kind> kinds) {
  return std::find(kinds.begin(), kinds.end(), kind) != kinds.end();
}

}  // namespace

void collect_names(Typing& typing) {
  Collector collector{typing};
  for (Index i = 0; i < typing.sentences().size(); ++i) {
    typing.open(i);
    collector.sentence = i;
    std::visit(collector, typing.sentences()[i].form);
  }
}

const char* kind_word(Known::Kind kind) {
  switch (kind) {
    case Known::Kind::finding: return "a finding";
    case Known::Kind::any_of: return "a list of findings";
    case Known::Kind::measure: return "a measure";
    case Known::Kind::term: return "a term";
    case Known::Kind::tally: return "a tally";
    case Known::Kind::leading: return "a leading tally";
    case Known::Kind::choice: return "a choice";
    case Known::Kind::practice: return "a practice";
    case Known::Kind::group: return "a group";
  }
  return "";
}

std::string listed(const std::vector<std::string>& words, const char* last) {
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i)
    out += (i == 0 ? "" : i + 1 == words.size() ? last : ", ") + words[i];
  return out;
}

std::string near_miss(Typing& typing, const tree::Name& name, std::initializer_list<Known::Kind> kinds) {
  std::vector<std::string> candidates;
  for (const std::string& key : typing.name_list)
    if (wanted_kind(typing.names.at(key).kind, kinds)) candidates.push_back(key);
  const auto meant = typing.messages.size() < 100 ? nearest(name.key, candidates) : std::nullopt;
  if (!meant) return ".";
  const Known& known = typing.names.at(*meant);
  return "; did you mean " + in_quotes(*meant == name.key ? known.name : *meant) + " (" + typing.line(known.place) + ")?";
}

const Known* find_name(Typing& typing, const tree::Name& name, std::initializer_list<Known::Kind> kinds, const char* wanted) {
  const auto known = typing.names.find(name.key);
  if (known == typing.names.end()) {
    const std::string what(wanted);
    const std::string bare = what.substr(what.find(' ') + 1);
    typing.tell(name.span, "nothing goes by this name", "No " + bare + " is called " + in_quotes(name.text) + near_miss(typing, name, kinds));
    return nullptr;
  }
  if (wanted_kind(known->second.kind, kinds)) return &known->second;
  typing.tell(name.span, "a name of another kind",
              in_quotes(name.text) + " is " + kind_word(known->second.kind) + " (" + typing.line(known->second.place) + "); " + wanted +
                  " is needed here.");
  return nullptr;
}

std::optional<Index> built_in(Typing& typing, const std::string& key) {
  const bool date = key == "date";
  if (!date && key != "time of day") return std::nullopt;
  if (auto known = typing.names.find(key); known != typing.names.end()) return known->second.index;
  Finding finding;
  finding.name = key;
  finding.kind = date ? Finding::Kind::date : Finding::Kind::time_of_day;
  finding.low = 0;
  finding.high = date ? 365 : 1439;
  finding.step = 1;
  finding.built_in = true;
  finding.question = date ? "What day is it?" : "What time is it?";
  const Index index = static_cast<Index>(typing.ruleset.findings.size());
  typing.ruleset.findings.push_back(std::move(finding));
  Scale scale;
  scale.kind = date ? Scale::Kind::date : Scale::Kind::time_of_day;
  scale.name = key;
  typing.finding_scales.push_back(std::move(scale));
  typing.finding_words.emplace_back();
  typing.finding_sound.push_back(true);
  typing.names.emplace(key, Known{Known::Kind::finding, index, key, {}});
  return index;
}

}  // namespace betony
