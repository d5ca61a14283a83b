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
    to.begin(Word::ruleset);
    to.quoted(s.title.text);
    comma(Word::edition);
    to.quoted(s.edition.text);
  }
  void operator()(const UseLine& s) { string(Word::use, s.path); }
  void operator()(const SourceLine& s) {
    to.begin(Word::source);
    to.say(s.word.text);
    to.say(Word::is);
    to.quoted(s.title.text);
    to.glue(",");
    to.number(s.year.text);
    if (!s.rank) return;
    comma(Word::ranked);
    to.number(s.rank->text);
  }
  void operator()(const SchoolLine& s) { holding(Word::school, s.name, s.sources); }
  void operator()(const GroupLine& s) { holding(Word::group, s.name, s.members); }
  void operator()(const AppliesLine& s) {
    to.begin(Word::applies_to);
    condition(to, s.condition);
  }
  void operator()(const BackgroundLine& s) {
    to.begin(Word::impossible);
    condition(to, s.condition);
  }
  void operator()(const FindingLine& s) {
    declare(Word::finding, s.name);
    type(to, s.type);
    if (!s.usually) return;
    comma(Word::usually);
    quantity(to, *s.usually);
  }
  void operator()(const ChoiceLine& s) {
    declare(Word::choice, s.name);
    type(to, s.type);
  }
  void operator()(const AskLine& s) { string(Word::ask, s.text); }
  void operator()(const NoteLine& s) { string(Word::note, s.text); }
  void operator()(const MeasureLine& s) {
    declare(Word::measure, s.name);
    to.say(Word::is);
    arithmetic(to, s.value);
    if (s.unit.text.empty()) return;
    to.say(Word::in);
    to.keep(s.unit.text);
  }
  void operator()(const TallyLine& s) {
    declare(Word::tally, s.name);
    to.say(Word::counts);
    for (std::size_t i = 0; i < s.items.size(); ++i) {
      if (i > 0) to.glue(",");
      if (i > 0 && i + 1 == s.items.size()) to.say(Word::and_word);
      points(s.items[i]);
    }
  }
  void operator()(const LeadingLine& s) {
    declare(Word::leading, s.name);
    to.say(Word::is);
    to.say(Word::the_most_of);
    names(to, s.tallies);
    if (s.lead) {
      to.say(Word::by_at_least);
      to.number(s.lead->text);
    }
    comma(Word::else_word);
    to.say(s.otherwise.text);
  }
  void operator()(const TermLine& s) {
    declare(Word::term, s.name);
    to.say(Word::means);
    condition(to, s.condition);
  }
  void operator()(const ReferLine& s) { ended(Word::refer, s.ending); }
  void operator()(const PrevailLine&) { to.begin(Word::prevail); }
  void operator()(const UnitLine& s) {
    to.begin(Word::unit);
    names(to, s.names);
    if (!s.amount) return;
    to.say(Word::is);
    quantity(to, *s.amount);
  }

  // ---- samples and claims

  void operator()(const ProfileLine& s) {
    string(Word::profile, s.title);
    to.glue(":");
    for (std::size_t i = 0; i < s.items.size(); ++i) {
      if (i > 0) to.glue(",");
      given(s.items[i]);
    }
    if (!s.rest_as_usual) return;
    if (!s.items.empty()) to.glue(",");
    to.say(Word::the_rest_as_usual);
  }
  void operator()(const ExpectLine& s) {
    to.begin(Word::expect);
    to.say(s.of.text);
    if (s.verdict) to.say(word_of(*s.verdict));
    quantities(to, s.values, Word::and_word);
    if (s.with_care) to.say(Word::with_care);
  }
  void operator()(const PopulationLine& s) {
    string(Word::population, s.title);
    for (std::size_t f = 0; f < s.findings.size(); ++f) {
      to.glue(f == 0 ? ":" : ";");
      to.say(s.findings[f].finding.text);
      for (std::size_t p = 0; p < s.findings[f].parts.size(); ++p) {
        if (p > 0) to.glue(",");
        comparison(to, s.findings[f].parts[p].asked);
        to.say(Word::as);
        to.keep(s.findings[f].parts[p].weight.text);
      }
    }
  }
  void operator()(const ClaimLine& s) {
    string(Word::claim, s.title);
    to.glue(":");
    if (s.trend) {
      trend(*s.trend);
    } else {
      to.say(s.never ? Word::never : Word::always);
      condition(to, s.condition);
    }
    if (!s.when) return;
    to.say(Word::in);
    condition(to, *s.when);
  }

  // ---- headings

  void operator()(const PracticeLine& s) {
    to.begin(s.plural ? Word::practices : Word::practice);
    for (std::size_t i = 0; i < s.practices.size(); ++i) {
      if (i > 0) to.glue(",");
      named(to, s.practices[i]);
    }
  }
  void operator()(const EveryLine& s) {
    to.begin(Word::every_practice);
    if (!s.group) return;
    to.say(Word::in);
    to.say(s.group->text);
  }

  // ---- sentences about practices and choices

  void operator()(const InLine& s) {
    to.begin(Word::in_condition);
    condition(to, s.condition);
    for (std::size_t i = 0; i < s.items.size(); ++i) {
      to.glue(i == 0 ? ":" : ";");
      item(s.items[i]);
    }
  }
  void operator()(const VerdictLine& s) {
    using Kind = VerdictLine::Kind;
    switch (s.kind) {
      case Kind::indicated: return ended(Word::indicated, s.ending);
      case Kind::allowed: return ended(Word::allowed_in, s.ending);
      case Kind::discouraged: return ended(Word::discouraged_in, s.ending);
      case Kind::contraindicated: return ended(Word::contraindicated, s.ending);
      case Kind::caution: return ended(Word::caution, s.ending);
    }
  }
  void operator()(const DoseLine& s) {
    to.begin(Word::dose);
    const std::size_t opening = to.all().size();
    const auto next_part = [&] {
      if (to.all().size() > opening) to.glue(",");
    };
    dose_amount(s);
    if (s.words) {
      next_part();
      to.quoted(s.words->text);
    }
    if (s.often) {
      next_part();
      rate(to, *s.often);
    }
    if (s.long_low && s.long_high) {
      next_part();
      to.say(Word::for_word);
      amount(to, *s.long_low, *s.long_high);
    }
    ending(to, s.ending, order);
  }
  void operator()(const OrderLine& s) {
    using Kind = OrderLine::Kind;
    switch (s.kind) {
      case Kind::follows: to.begin(Word::follows); break;
      case Kind::precedes: to.begin(Word::precedes); break;
      case Kind::needs: to.begin(Word::needs); break;
      case Kind::leads_to: to.begin(Word::leads_to); break;
      case Kind::never_with: to.begin(Word::never_with); break;
      case Kind::apart: to.begin(Word::apart_from); break;
    }
    names(to, s.practices, Word::and_word);
    if (s.by) {
      to.say(Word::by);
      quantity(to, *s.by);
    }
    ending(to, s.ending, order);
  }
  void operator()(const TimeLine& s) {
    to.begin(Word::time);
    if (s.forbidden) to.say(Word::not_word);
    to.say(Word::from);
    moment(to, s.from);
    if (s.until) {
      to.say(Word::to);
      moment(to, s.to);
    }
    ending(to, s.ending, order);
  }
  void operator()(const TakesLine& s) {
    to.begin(Word::takes);
    amount(to, s.low, s.high);
    ending(to, s.ending, order);
  }
  void operator()(const UsesLine& s) {
    to.begin(Word::uses);
    names(to, s.choices, Word::and_word);
    ending(to, s.ending, order);
  }
  void operator()(const TakeLine& s) {
    to.begin(s.refuse ? Word::refuse : Word::take);
    quantities(to, s.values, Word::and_word);
    ending(to, s.ending, order);
  }
  void operator()(const OtherwiseLine& s) {
    to.begin(Word::otherwise);
    if (s.verdict) to.say(word_of(*s.verdict));
    if (s.with_care) to.say(Word::with_care);
    quantities(to, s.values, Word::and_word);
    ending(to, s.ending, order);
  }

 private:
  void comma(Word then) {
    to.glue(",");
    to.say(then);
  }
  void string(Word opening, const Text& text) {
    to.begin(opening);
    to.quoted(text.text);
  }
  void declare(Word opening, const Named& name) {
    to.begin(opening);
    named(to, name);
  }
  void ended(Word opening, const Ending& e) {
    to.begin(opening);
    ending(to, e, order);
  }
  void holding(Word opening, const Named& name, const std::vector<Name>& members) {
    declare(opening, name);
    to.say(Word::holds);
    names(to, members);
  }
  void points(const TallyItem& item) {
    if (item.each) to.say(Word::each_of);
    for (std::size_t i = 0; i < item.counted.size(); ++i) {
      if (i > 0) to.glue(",");
      condition(to, item.counted[i]);
    }
    to.say(Word::as);
    to.number(item.points.text);
  }
  void given(const ProfileItem& item) {
    if (item.negated) to.say(Word::not_word);
    to.say(item.finding.text);
    if (item.value) quantity(to, *item.value);
  }
  void trend(const Trend& trend) {
    constexpr Word changes[] = {Word::more, Word::less, Word::adding};
    constexpr Word verbs[] = {Word::raises, Word::lowers, Word::lengthens, Word::shortens};
    to.say(changes[static_cast<int>(trend.change)]);
    to.say(trend.finding.text);
    to.say(Word::never);
    to.say(verbs[static_cast<int>(trend.verb)]);
    if (trend.of_dose) to.say(Word::the_dose_of);
    if (trend.practices.empty()) to.say(Word::any_practice);
    names(to, trend.practices, Word::or_word);
  }
  void item(const InItem& item) {
    names(to, item.practices, Word::and_word);
    item.practices.size() > 1 ? are(to) : to.say(Word::is);
    to.say(word_of(item.verdict));
    if (item.with_care) to.say(Word::with_care);
    ending(to, item.ending, order);
  }
  void dose_amount(const DoseLine& s) {
    switch (s.factor) {
      case DoseLine::Factor::none: break;
      case DoseLine::Factor::half: to.say(Word::half); break;
      case DoseLine::Factor::third: to.say(Word::third); break;
      case DoseLine::Factor::quarter: to.say(Word::quarter); break;
      case DoseLine::Factor::twice: to.say(Word::twice_as_much); break;
    }
    if (s.low && s.high) return amount(to, *s.low, *s.high);
    if (!s.low && !s.high) return;
    to.say(s.low ? Word::at_least : Word::at_most);
    quantity(to, s.low ? *s.low : *s.high);
  }

  Words& to;
  EndingOrder order;
};

}  // namespace

std::vector<Piece> words_of(const Sentence& sentence, EndingOrder order) {
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
