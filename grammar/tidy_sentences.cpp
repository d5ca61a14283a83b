// grammar/tidy_sentences.cpp: each sentence form in its standard words.
#include "grammar/tidy_words.h"

namespace betony::tidying {

using namespace tree;

namespace {

// Writes one sentence, without its stop.
class Sayer {
 public:
  Sayer(Words& to, EndingOrder order) : to(to), order(order) {}

  // ---- declarations

  void operator()(const RulesetLine& s) {
    to.say("Ruleset");
    to.quoted(s.title.text);
    comma("edition");
    to.quoted(s.edition.text);
  }
  void operator()(const UseLine& s) { string("Use", s.path); }
  void operator()(const SourceLine& s) {
    to.say("Source");
    to.say(s.word.text);
    to.say("is");
    to.quoted(s.title.text);
    to.glue(",");
    to.number(s.year.text);
    if (!s.rank) return;
    comma("ranked");
    to.number(s.rank->text);
  }
  void operator()(const SchoolLine& s) { holding("School", s.name, s.sources); }
  void operator()(const GroupLine& s) { holding("Group", s.name, s.members); }
  void operator()(const AppliesLine& s) { with_condition("Applies to", s.condition); }
  void operator()(const BackgroundLine& s) { with_condition("It cannot be that", s.condition); }
  void operator()(const FindingLine& s) {
    declare("Finding", s.name);
    type(to, s.type);
    if (!s.usually) return;
    comma("usually");
    quantity(to, *s.usually);
  }
  void operator()(const ChoiceLine& s) {
    declare("Choice", s.name);
    type(to, s.type);
  }
  void operator()(const AskLine& s) { string("Ask", s.text); }
  void operator()(const NoteLine& s) { string("Note", s.text); }
  void operator()(const MeasureLine& s) {
    declare("Measure", s.name);
    to.say("is");
    arithmetic(to, s.value);
    if (s.unit.text.empty()) return;
    to.say("in");
    to.number(s.unit.text);
  }
  void operator()(const TallyLine& s) {
    declare("Tally", s.name);
    to.say("counts");
    for (std::size_t i = 0; i < s.items.size(); ++i) {
      if (i > 0 && s.items.size() > 2) to.glue(",");
      if (i > 0 && i + 1 == s.items.size()) to.say("and");
      points(s.items[i]);
    }
  }
  void operator()(const LeadingLine& s) {
    declare("Leading", s.name);
    to.say("is the most of");
    names(to, s.tallies);
    if (s.lead) {
      to.say("by at least");
      to.number(s.lead->text);
    }
    comma("else");
    to.say(s.otherwise.text);
  }
  void operator()(const TermLine& s) {
    declare("Term", s.name);
    with_condition("means", s.condition);
  }
  void operator()(const ReferLine& s) { ended("Refer", s.ending); }
  void operator()(const PrevailLine&) { to.say("Contraindications prevail"); }
  void operator()(const UnitLine& s) {
    to.say("Unit");
    names(to, s.names);
    if (!s.amount) return;
    to.say("is");
    quantity(to, *s.amount);
  }

  // ---- samples and claims

  void operator()(const ProfileLine& s) {
    string("Profile", s.title);
    to.glue(":");
    for (std::size_t i = 0; i < s.items.size(); ++i) {
      if (i > 0) to.glue(",");
      given(s.items[i]);
    }
    if (!s.rest_as_usual) return;
    if (!s.items.empty()) to.glue(",");
    to.say("the rest as usual");
  }
  void operator()(const ExpectLine& s) {
    to.say("Expect");
    to.say(s.of.text);
    if (s.verdict) to.say(word_of(*s.verdict));
    quantities(to, s.values, "and");
    if (s.with_care) to.say("with care");
  }
  void operator()(const ClaimLine& s) {
    string("Claim", s.title);
    to.glue(":");
    with_condition(s.never ? "never" : "always", s.condition);
    if (s.when) with_condition("in", *s.when);
  }

  // ---- headings

  void operator()(const PracticeLine& s) {
    to.say(s.practices.size() > 1 ? "Practices" : "Practice");
    for (std::size_t i = 0; i < s.practices.size(); ++i) {
      if (i > 0) to.glue(",");
      named(to, s.practices[i]);
    }
  }
  void operator()(const EveryLine& s) {
    to.say("Every practice");
    if (!s.group) return;
    to.say("in");
    to.say(s.group->text);
  }

  // ---- sentences about practices and choices

  void operator()(const InLine& s) {
    with_condition("In", s.condition);
    for (std::size_t i = 0; i < s.items.size(); ++i) {
      to.glue(i == 0 ? ":" : ";");
      item(s.items[i]);
    }
  }
  void operator()(const VerdictLine& s) {
    using Kind = VerdictLine::Kind;
    switch (s.kind) {
      case Kind::indicated: return ended("Indicated", s.ending);
      case Kind::allowed: return ended("Allowed", s.ending);
      case Kind::discouraged: return ended("Discouraged", s.ending);
      case Kind::contraindicated: return ended("Contraindicated", s.ending);
      case Kind::caution: return ended("Caution", s.ending);
    }
  }
  void operator()(const DoseLine& s) {
    to.say("Dose");
    const std::size_t before = to.all().size();
    dose_amount(s);
    if (s.often) {
      if (to.all().size() > before) to.glue(",");
      rate(to, *s.often);
    }
    if (s.long_low && s.long_high) {
      if (to.all().size() > before) to.glue(",");
      to.say("for");
      amount(to, *s.long_low, *s.long_high);
    }
    ending(to, s.ending, order);
  }
  void operator()(const OrderLine& s) {
    using Kind = OrderLine::Kind;
    switch (s.kind) {
      case Kind::follows: to.say("Follows"); break;
      case Kind::precedes: to.say("Precedes"); break;
      case Kind::needs: to.say("Needs"); break;
      case Kind::leads_to: to.say("Leads to"); break;
      case Kind::never_with: to.say("Never with"); break;
      case Kind::apart: to.say("Apart from"); break;
    }
    names(to, s.practices, "and");
    if (s.by) {
      to.say("by");
      quantity(to, *s.by);
    }
    ending(to, s.ending, order);
  }
  void operator()(const TimeLine& s) {
    to.say(s.forbidden ? "Time not" : "Time");
    if (s.until) to.say("from");
    moment(to, s.from);
    if (s.until) {
      to.say("to");
      moment(to, s.to);
    }
    ending(to, s.ending, order);
  }
  void operator()(const TakesLine& s) {
    to.say("Takes");
    amount(to, s.low, s.high);
    ending(to, s.ending, order);
  }
  void operator()(const UsesLine& s) {
    to.say("Uses");
    names(to, s.choices, "and");
    ending(to, s.ending, order);
  }
  void operator()(const TakeLine& s) {
    to.say(s.refuse ? "Refuse" : "Take");
    quantities(to, s.values, "and");
    ending(to, s.ending, order);
  }
  void operator()(const OtherwiseLine& s) {
    to.say("Otherwise");
    if (s.verdict) to.say(word_of(*s.verdict));
    if (s.with_care) to.say("with care");
    quantities(to, s.values, "and");
    ending(to, s.ending, order);
  }

 private:
  void comma(std::string_view then) {
    to.glue(",");
    to.say(then);
  }
  void string(std::string_view opening, const Text& text) {
    to.say(opening);
    to.quoted(text.text);
  }
  void declare(std::string_view opening, const Named& name) {
    to.say(opening);
    named(to, name);
  }
  void with_condition(std::string_view opening, const Condition& c) {
    to.say(opening);
    condition(to, c);
  }
  void ended(std::string_view opening, const Ending& e) {
    to.say(opening);
    ending(to, e, order);
  }
  void holding(std::string_view opening, const Named& name, const std::vector<Name>& members) {
    declare(opening, name);
    to.say("holds");
    names(to, members);
  }
  void points(const TallyItem& item) {
    if (item.each) to.say("each of");
    for (std::size_t i = 0; i < item.counted.size(); ++i) {
      if (i > 0) to.glue(",");
      condition(to, item.counted[i]);
    }
    to.say("as");
    to.number(item.points.text);
  }
  void given(const ProfileItem& item) {
    if (item.negated) to.say("not");
    to.say(item.finding.text);
    if (item.value) quantity(to, *item.value);
  }
  void item(const InItem& item) {
    names(to, item.practices, "and");
    to.say(item.practices.size() > 1 ? "are" : "is");
    to.say(word_of(item.verdict));
    if (item.with_care) to.say("with care");
    ending(to, item.ending, order);
  }
  void dose_amount(const DoseLine& s) {
    switch (s.factor) {
      case DoseLine::Factor::none: break;
      case DoseLine::Factor::half: to.say("half"); break;
      case DoseLine::Factor::third: to.say("a third"); break;
      case DoseLine::Factor::quarter: to.say("a quarter"); break;
      case DoseLine::Factor::twice: to.say("double"); break;
    }
    if (s.words) to.quoted(s.words->text);
    if (s.low && s.high) return amount(to, *s.low, *s.high);
    if (!s.low && !s.high) return;
    to.say(s.low ? "at least" : "at most");
    quantity(to, s.low ? *s.low : *s.high);
  }

  Words& to;
  EndingOrder order;
};

}  // namespace

std::vector<std::string> words_of(const Sentence& sentence, EndingOrder order) {
  Words words;
  std::visit(Sayer(words, order), sentence.form);
  words.glue(".");
  return words.all();
}

namespace {

template <class... Forms>
bool is_one_of(const Form& form) {
  return (std::holds_alternative<Forms>(form) || ...);
}

}  // namespace

unsigned indentation(const Form& form) {
  const bool further = is_one_of<AskLine, NoteLine, ExpectLine, VerdictLine, DoseLine, OrderLine, TimeLine, TakesLine,
                                 UsesLine, TakeLine, OtherwiseLine>(form);
  return further ? 2 : 0;
}

bool is_heading(const Form& form) { return is_one_of<GroupLine, PracticeLine, EveryLine>(form); }

}  // namespace betony::tidying
