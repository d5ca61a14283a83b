// A model as source text. What may be written in several ways is written in several ways, as `style`
// says, so that the reading of all of them is judged too.
#include <array>
#include <set>

#include "tests/property/model.h"

namespace betony::referee {

std::string decimal(const Fraction& number) {
  mpz_class up = abs(number.get_num()), down = number.get_den();
  std::string digits = mpz_class(up / down).get_str();
  mpz_class rest = up % down;
  if (rest != 0) digits += '.';
  for (int guard = 0; rest != 0 && guard < 30; ++guard) {
    rest *= 10;
    digits += mpz_class(rest / down).get_str();
    rest %= down;
  }
  return (number < 0 ? "-" : "") + digits;
}

namespace {

std::string date_words(int day) {
  static const std::array<const char*, 12> names = {"January", "February", "March", "April", "May", "June",
                                                    "July", "August", "September", "October", "November", "December"};
  static const std::array<int, 12> lengths = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  std::size_t month = 0;
  for (; day >= lengths[month]; ++month) day -= lengths[month];
  return std::to_string(day + 1) + ' ' + names[month];
}

std::string clock_words(int minute) {
  const auto two = [](int n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  return two(minute / 60) + ':' + two(minute % 60);
}

std::string join(const std::vector<std::string>& parts, const std::string& between, const std::string& last) {
  std::string all;
  for (std::size_t i = 0; i < parts.size(); ++i) all += (i == 0 ? "" : i + 1 == parts.size() ? last : between) + parts[i];
  return all;
}

// ---------------------------------------------------------------- doses and lengths

std::string half_hours(int count, int style) {
  return style % 3 == 1 ? std::to_string(count * 30) + " min" : decimal(Fraction(count, 2)) + " h";
}

// "5", "5 to 10", "at most 5", "at least 5", and what they count
std::string range_words(const Range& range, const std::string& one, const std::string& many) {
  const std::string unit = ' ' + (range.high && *range.high <= 1 ? one : many);
  if (!range.low) return "at most " + decimal(*range.high) + unit;
  if (!range.high) return "at least " + decimal(*range.low) + ' ' + many;
  return (*range.low == *range.high ? "" : decimal(*range.low) + " to ") + decimal(*range.high) + unit;
}

std::string often_words(const Dose& dose, int style) {
  const Range& times = *dose.often;
  const std::string unit = dose.weekly ? "wk" : style % 2 ? "day" : "d";
  const std::string period = dose.every == 1 ? " a " + unit : " every " + std::to_string(dose.every) + ' ' + unit;
  const bool exact = times.low && times.low == times.high;
  if (exact && *times.high == 1 && dose.every > 1 && style % 3 == 1) return period.substr(1);
  if (*times.high > 2 || (times.low && !exact)) return range_words(times, "times", "times") + period;
  return (exact ? "" : "at most ") + std::string(*times.high == 1 ? "once" : "twice") + period;
}

std::string dose_words(const Dose& dose, int style) {
  static const std::array<const char*, 5> factors = {"", "half", "a third", "a quarter", "double"};
  std::vector<std::string> parts;
  const DoseUnit& unit = dose_units()[dose.unit];
  if (dose.amount) parts.push_back(range_words(*dose.amount, unit.one, unit.many));
  if (dose.factor != Dose::Factor::none) parts.push_back(factors[static_cast<std::size_t>(dose.factor)]);
  if (!dose.words.empty()) parts.push_back('"' + dose.words + '"');
  if (dose.often) parts.push_back(often_words(dose, style));
  if (dose.length) parts.push_back("for " + range_words(*dose.length, dose.in_weeks ? "wk" : "d", dose.in_weeks ? "wk" : "d"));
  std::string text;
  const std::size_t turn = style % 4 == 3 ? 1 : 0;
  for (std::size_t i = 0; i < parts.size(); ++i) text += (i ? ", " : "") + parts[(i + turn) % parts.size()];
  return text;
}

// ---------------------------------------------------------------- conditions

class Words {
 public:
  explicit Words(const Model& model) : model_(model) {}

  std::string level(const Cond& c) const {
    using Kind = Cond::Kind;
    if (c.kind != Kind::all && c.kind != Kind::any && c.kind != Kind::none && c.kind != Kind::at_least) return item(c);
    std::vector<std::string> parts;
    for (const Cond& part : c.parts) parts.push_back(item(part));
    if (c.kind == Kind::none) return "none of " + list(parts, c.style, " or ");
    if (c.kind == Kind::at_least) return "at least " + std::to_string(c.count) + " of " + list(parts, c.style, c.style % 2 ? " or " : " and ");
    const std::string word = c.kind == Kind::all ? " and " : " or ";
    if (parts.size() > 1 && c.style % 3 == 2) return (c.kind == Kind::all ? "all of " : "any of ") + list(parts, c.style, word);
    if (parts.size() > 2 && c.style % 3 == 1) return join(parts, ", ", "," + word);
    return join(parts, word, word);
  }

  std::string item(const Cond& c) const {
    using Kind = Cond::Kind;
    if (c.kind == Kind::negation) {
      const bool again = c.parts[0].kind == Kind::negation;
      return "not " + (again ? "(" + item(c.parts[0]) + ")" : item(c.parts[0]));
    }
    if (c.kind == Kind::all || c.kind == Kind::any || c.kind == Kind::none || c.kind == Kind::at_least)
      return "(" + level(c) + ")";
    return atom(c);
  }

  std::string number(const Cond& c, const Fraction& n) const {
    if (c.of != Cond::Of::finding) return decimal(n);
    const Finding& finding = model_.findings[c.index];
    switch (finding.kind) {
      case Finding::Kind::grade: return finding.words[n.get_num().get_ui()];
      case Finding::Kind::date: return date_words(static_cast<int>(n.get_num().get_si()));
      case Finding::Kind::time_of_day: return clock_words(static_cast<int>(n.get_num().get_si()));
      default: break;
    }
    if (c.style % 3 == 0 || finding.unit.empty()) return decimal(n);
    const bool small = c.style % 3 == 2 && !finding.small_unit.empty();
    const Fraction shown = small ? Fraction(n * finding.small_factor) : n;
    return decimal(shown) + ' ' + (small ? finding.small_unit : finding.unit) + (finding.ago ? " ago" : "");
  }

 private:
  // "of a, b", "of a, b, or c", "of a, b or c"
  static std::string list(const std::vector<std::string>& parts, int style, const std::string& word) {
    const std::string lasts[] = {", ", "," + word, word};
    return join(parts, ", ", lasts[static_cast<unsigned>(style / 3) % 3]);
  }

  std::string name(const Cond& c) const {
    switch (c.of) {
      case Cond::Of::finding: {
        const Finding& f = model_.findings[c.index];
        if (c.item >= 0) return f.words[c.item];
        return !f.also.empty() && c.style % 5 == 4 ? f.also : f.name;
      }
      case Cond::Of::term: return model_.terms[c.index].name;
      case Cond::Of::tally: return model_.tallies[c.index].name;
      case Cond::Of::leading: return model_.leadings[c.index].name;
      case Cond::Of::choice: return model_.choices[c.index].name;
      case Cond::Of::measure: return model_.measures[c.index].name;
      case Cond::Of::practice: break;
    }
    const Practice& p = model_.practices[c.index];
    return !p.also.empty() && c.style % 5 == 4 ? p.also : p.name;
  }

  std::string word(const Cond& c, int w) const {
    static const std::array<const char*, 8> verdicts = {"outside", "referred", "withheld", "discouraged",
                                                        "advised", "allowed", "silent", "unanswered"};
    switch (c.of) {
      case Cond::Of::finding: return model_.findings[c.index].words[w];
      case Cond::Of::leading: return leading_values(model_, model_.leadings[c.index])[w];
      case Cond::Of::choice: return model_.choices[c.index].words[w];
      default: return verdicts[w];
    }
  }

  std::string atom(const Cond& c) const {
    using Kind = Cond::Kind;
    const std::string is = c.style % 7 == 6 ? " are" : " is", no = c.negated ? " not" : "";
    switch (c.kind) {
      case Kind::holds: return name(c);
      case Kind::never: return name(c) + " is" + no + " never";
      case Kind::with_care: return name(c) + " is with care";
      case Kind::among: {
        std::vector<std::string> words;
        for (int w : c.words) words.push_back(word(c, w));
        if (words.size() > 1 && !c.negated && c.of != Cond::Of::practice && c.style % 3 == 1)
          return name(c) + is + " one of " + join(words, ", ", ", ");
        return name(c) + is + no + ' ' + join(words, " or ", " or ");
      }
      case Kind::numbers: {
        std::vector<std::string> words;
        for (const Fraction& n : c.numerals) words.push_back(number(c, n));
        return name(c) + is + no + ' ' + join(words, " or ", " or ");
      }
      default: break;
    }
    static const std::array<const char*, 4> hows = {" under ", " over ", " at least ", " at most "};
    if (c.how != Cond::How::from_to) return name(c) + hows[static_cast<unsigned>(c.how)] + number(c, c.numerals[0]);
    Cond bare = c;
    if (c.style % 2 == 0) bare.style = c.style % 3 == 2 ? c.style : 0;  // the last unit serves both, if it is the same
    const std::string first = c.style % 3 == 1 && c.style % 2 == 0 ? number(bare, c.numerals[0]) : number(c, c.numerals[0]);
    return name(c) + " from " + first + " to " + number(c, c.numerals[1]);
  }

  const Model& model_;
};

// ---------------------------------------------------------------- sentences

class Printer {
 public:
  explicit Printer(const Model& model) : model_(model), words_(model) {}

  Printed all() {
    put("Ruleset \"The tide house\", edition \"1\".\n");
    if (model_.layout % 2 == 0) declarations();
    choices();
    sentences();
    claims();
    samples();
    if (model_.layout % 2 == 1) declarations();
    return std::move(out_);
  }

 private:
  void put(const std::string& text) { out_.text += text; }
  void mark(Spot::What what, int index, int within = 0) { out_.places.push_back({out_.text.size(), {what, index, within}}); }
  template <class List>
  std::string names(const List& list, const std::vector<int>& which) const {
    std::vector<std::string> parts;
    for (int i : which)
      if (!list[i].gone) parts.push_back(list[i].name);
    return join(parts, ", ", ", ");
  }

  void declarations() {
    for (const Source& s : model_.sources)
      if (!s.gone)
        put("Source " + s.word + " is \"" + s.title + "\", " + std::to_string(s.year) +
            (s.rank ? ", ranked " + std::to_string(*s.rank) : "") + ".\n");
    for (const School& s : model_.schools)
      if (!s.gone) {
        std::vector<std::string> works;
        for (int i : s.sources)
          if (!model_.sources[i].gone) works.push_back(model_.sources[i].word);
        put("School " + s.name + " holds " + join(works, ", ", ", ") + ".\n");
      }
    if (model_.prevail) put("Contraindications prevail.\n");
    for (std::size_t i = 0; i < model_.findings.size(); ++i) finding(static_cast<int>(i));
    for (const Measure& m : model_.measures)
      if (!m.gone) put("Measure " + m.name + " is " + arithmetic(m.is) + (m.unit.empty() ? "" : " in " + m.unit) + ".\n");
    for (std::size_t i = 0; i < model_.terms.size(); ++i) {
      const Term& t = model_.terms[i];
      if (t.gone) continue;
      mark(Spot::What::term, static_cast<int>(i));
      put("Term " + t.name + " means " + words_.level(t.means) + ".\n");
    }
    for (const Tally& t : model_.tallies)
      if (!t.gone) tally(t);
    for (const Leading& l : model_.leadings)
      if (!l.gone)
        put("Leading " + l.name + " is the most of " + names(model_.tallies, l.tallies) +
            (l.lead ? " by at least " + decimal(*l.lead) : "") + ", else " + l.otherwise + ".\n");
    for (const Group& g : model_.groups)
      if (!g.gone) {
        const std::string practices = names(model_.practices, g.practices), groups = names(model_.groups, g.groups);
        put("Group " + g.name + " holds " + practices + (practices.empty() || groups.empty() ? "" : ", ") + groups + ".\n");
      }
    units();
    facts(model_.backgrounds, Spot::What::background, "It cannot be that ");
    facts(model_.applies, Spot::What::applies, "Applies to ");
  }

  // Units of the ruleset's own, where a dose is counted in them.
  void units() {
    std::set<std::string> used;
    for (const Sentence& s : model_.sentences)
      if (!s.gone && s.dose.amount) used.insert(dose_units()[s.dose.unit].one);
    if (used.count("bowl")) put("Unit bowl, bowls.\n");
    if (used.count("palm")) put("Unit palm, palms is 30 g.\n");
  }

  void facts(const std::vector<Fact>& list, Spot::What what, const std::string& opening) {
    for (std::size_t i = 0; i < list.size(); ++i) {
      if (list[i].gone) continue;
      mark(what, static_cast<int>(i));
      put(opening + words_.level(list[i].cond) + ".\n");
    }
  }

  static std::string type(const Finding& f) {
    switch (f.kind) {
      case Finding::Kind::yes_no: return "is yes or no";
      case Finding::Kind::one_of: return "is one of " + join(f.words, ", ", ", ");
      case Finding::Kind::grade: return "is a grade of " + join(f.words, ", ", ", ");
      case Finding::Kind::any_of: return "are any of " + join(f.words, ", ", ", ");
      default: break;
    }
    std::string text = f.whole ? "is a whole number" : "is a number";
    if (!f.unit.empty()) text += " of " + f.unit + (f.ago ? " ago" : "");
    text += " from " + decimal(f.low) + " to " + decimal(f.high);
    if (f.step != 0 && !f.whole) text += " in steps of " + decimal(f.step);
    return text + (f.or_never ? ", or never" : "");
  }

  static std::string usual(const Finding& f) {
    if (f.usual_never) return ", usually never";
    if (f.usual_number) return ", usually " + decimal(*f.usual_number);
    if (!f.usual_word) return "";
    if (f.kind == Finding::Kind::yes_no) return *f.usual_word ? ", usually yes" : ", usually no";
    return ", usually " + f.words[*f.usual_word];
  }

  void finding(int index) {
    const Finding& f = model_.findings[index];
    if (f.gone || f.kind == Finding::Kind::date || f.kind == Finding::Kind::time_of_day) return;
    mark(Spot::What::finding, index);
    put("Finding " + f.name + (f.also.empty() ? " " : " (also " + f.also + ") ") + type(f) + usual(f) + ".\n");
    if (f.asked) put("  Ask \"What of " + f.name + "?\".\n");
  }

  std::string arithmetic(const Arithmetic& a) const {
    using Op = Arithmetic::Op;
    if (a.op == Op::number) return decimal(a.number) + (a.unit.empty() ? "" : " " + a.unit);
    if (a.op == Op::finding) return model_.findings[a.index].name;
    const bool list = a.op == Op::least || a.op == Op::most;
    static const std::array<const char*, 8> between = {"", "", " + ", " - ", " * ", " / ", ", ", ", "};
    std::vector<std::string> parts;
    for (const Arithmetic& part : a.parts) parts.push_back(part.parts.empty() || list ? arithmetic(part) : "(" + arithmetic(part) + ")");
    const std::string sign = between[static_cast<std::size_t>(a.op)];
    return (a.op == Op::least ? "least of " : a.op == Op::most ? "most of " : "") + join(parts, sign, sign);
  }

  void tally(const Tally& t) {
    std::vector<std::string> items;
    for (const TallyItem& item : t.items) {
      std::vector<std::string> counted;
      for (const Cond& c : item.counted) counted.push_back(words_.item(c));
      items.push_back((item.each ? "each of " : "") + join(counted, ", ", ", ") + " as " + decimal(item.points));
    }
    put("Tally " + t.name + " counts " + join(items, ", ", ", and ") + ".\n");
  }

  void choices() {
    static const std::array<const char*, 4> kinds = {"one of ", "a grade of ", "a grade of ", "any of "};
    static const std::array<const char*, 4> ends = {"", ", the highest prevails", ", the lowest prevails", ""};
    for (std::size_t i = 0; i < model_.choices.size(); ++i) {
      const Choice& c = model_.choices[i];
      if (c.gone) continue;
      const auto kind = static_cast<std::size_t>(c.kind);
      put("Choice " + c.name + " is " + kinds[kind] + join(c.words, ", ", ", ") + ends[kind] + ".\n");
      for (std::size_t s = 0; s < model_.sentences.size(); ++s) {
        const Sentence& sentence = model_.sentences[s];
        if (!sentence.gone && sentence.head == Sentence::Head::choice && sentence.choice == static_cast<int>(i))
          plain(static_cast<int>(s));
      }
    }
  }

  // ---- the head over the sentences that follow

  std::string declared(int practice) {
    const Practice& p = model_.practices[practice];
    const bool first = declared_.insert(practice).second;
    return p.name + (first && !p.also.empty() ? " (also " + p.also + ")" : "");
  }

  std::string head_words(const Sentence& s) {
    if (s.head == Sentence::Head::every) return "Every practice.";
    if (s.head == Sentence::Head::group) return "Every practice in " + model_.groups[s.group].name + ".";
    std::vector<std::string> parts;
    for (int p : s.practices)
      if (!model_.practices[p].gone) parts.push_back(declared(p));
    return (parts.size() == 1 ? "Practice " : "Practices ") + join(parts, ", ", ", ") + ".";
  }

  // Two sentences that stand under one head print one head; a head that would be repeated is told by its plain words.
  std::string head_key(const Sentence& s) const {
    if (s.head == Sentence::Head::every) return "every";
    if (s.head == Sentence::Head::group) return "group " + std::to_string(s.group);
    return "of " + names(model_.practices, s.practices);
  }

  void undeclared() {
    std::set<int> own;
    for (const Sentence& s : model_.sentences)
      if (!s.gone && s.head == Sentence::Head::practices) own.insert(s.practices.begin(), s.practices.end());
    for (int p = 0; p < static_cast<int>(model_.practices.size()); ++p)
      if (!own.count(p) && !model_.practices[p].gone) put("Practice " + declared(p) + ".\n");
  }

  void sentences() {
    undeclared();
    std::string under;
    const auto& list = model_.sentences;
    for (std::size_t i = 0; i < list.size(); ++i) {
      const Sentence& s = list[i];
      if (s.gone || s.head == Sentence::Head::choice) continue;
      if (s.head == Sentence::Head::in_line) {
        i = in_line(i);
        under.clear();
        continue;
      }
      if (s.head != Sentence::Head::none && head_key(s) != under) put(head_words(s) + "\n"), under = head_key(s);
      if (s.head == Sentence::Head::none) under.clear();
      plain(static_cast<int>(i));
    }
  }

  // Prints the sentences of one `In …:` from `first` on; returns the last of them.
  std::size_t in_line(std::size_t first) {
    const auto& list = model_.sentences;
    std::size_t last = first;
    std::string between = "In " + words_.level(list[first].when) + ": ";
    bool opened = false;
    for (std::size_t i = first; i < list.size(); ++i) {
      const Sentence& s = list[i];
      if (s.gone) continue;
      if (s.head != Sentence::Head::in_line || s.line != list[first].line) break;
      if (words_.level(s.when) != words_.level(list[first].when)) break;
      if (!opened) mark(Spot::What::sentence, static_cast<int>(i));
      put(between);
      if (opened) mark(Spot::What::sentence, static_cast<int>(i));
      in_item(s);
      between = "; ";
      opened = true;
      last = i;
    }
    put(".\n");
    return last;
  }

  void in_item(const Sentence& s) {
    static const std::array<const char*, 4> verdicts = {"advised", "allowed", "discouraged", "withheld"};
    std::vector<std::string> parts;
    for (int p : s.practices)
      if (!model_.practices[p].gone) parts.push_back(model_.practices[p].name);
    put(join(parts, ", ", parts.size() > 2 ? ", and " : " and ") + (parts.size() == 1 ? " is " : " are ") +
        verdicts[static_cast<std::size_t>(s.kind)] + (s.with_care ? " with care" : ""));
    put(endings(s, false));
  }

  void plain(int index) {
    const Sentence& s = model_.sentences[index];
    if (s.head != Sentence::Head::none) put("  ");
    mark(Spot::What::sentence, index);
    put(opening(s) + endings(s, true) + ".\n");
  }

  std::string opening(const Sentence& s) const {
    static const std::array<const char*, 8> verdicts = {"", "", "withheld", "discouraged", "advised", "allowed", "", ""};
    std::vector<std::string> values;
    for (int v : s.values) values.push_back(model_.choices[s.choice].words[v]);
    switch (s.kind) {
      case Sentence::Kind::indicated: return "Indicated";
      case Sentence::Kind::allowed: return "Allowed";
      case Sentence::Kind::discouraged: return "Discouraged";
      case Sentence::Kind::contraindicated: return "Contraindicated";
      case Sentence::Kind::caution: return "Caution";
      case Sentence::Kind::dose: return "Dose " + dose_words(s.dose, s.style);
      case Sentence::Kind::follows: return "Follows " + others(s);
      case Sentence::Kind::precedes: return "Precedes " + others(s);
      case Sentence::Kind::needs: return "Needs " + others(s);
      case Sentence::Kind::leads_to: return "Leads to " + others(s);
      case Sentence::Kind::never_with: return "Never with " + others(s);
      case Sentence::Kind::apart: return "Apart from " + others(s) + " by " + half_hours(s.first, s.style);
      case Sentence::Kind::time:
        return std::string("Time ") + (s.forbidden ? "not " : "") + "from " + clock_words(s.first * 30) + " to " + clock_words(s.last * 30);
      case Sentence::Kind::takes:
        return "Takes " + (s.first == s.last ? "" : half_hours(s.first, s.style) + " to ") + half_hours(s.last, s.style);
      case Sentence::Kind::uses: return "Uses " + model_.choices[s.choice].name;
      case Sentence::Kind::otherwise:
        return std::string("Otherwise ") + verdicts[static_cast<std::size_t>(s.verdict)] + (s.with_care ? " with care" : "");
      case Sentence::Kind::take: return "Take " + join(values, ", ", ", ");
      case Sentence::Kind::refuse: return "Refuse " + join(values, ", ", ", ");
      case Sentence::Kind::choice_otherwise: return "Otherwise " + join(values, ", ", ", ");
      case Sentence::Kind::refer: return "Refer";
    }
    return "";
  }

  std::string others(const Sentence& s) const {
    std::vector<std::string> parts;
    for (int p : s.others)
      if (!model_.practices[p].gone) parts.push_back(model_.practices[p].name);
    return join(parts, ", ", s.style % 2 ? " and " : ", ");
  }

  std::string endings(const Sentence& s, bool with_when) const {
    std::vector<std::string> parts;
    const std::string comma = s.style % 2 ? "," : "";
    if (with_when && s.when.kind != Cond::Kind::always)
      parts.push_back((s.style % 5 == 4 ? " when " : " in ") + words_.level(s.when));
    if (s.unless) parts.push_back(comma + " unless " + words_.level(*s.unless));
    for (int d : s.despite)
      if (!model_.sentences[d].gone) parts.push_back(comma + " despite " + model_.sentences[d].label);
    if (!s.aim.empty()) parts.push_back(", for \"" + s.aim + "\"");
    if (!s.label.empty()) parts.push_back(", called " + s.label);
    if (!s.text.empty()) parts.push_back(": \"" + s.text + "\"");
    std::vector<std::string> works;
    for (int c : s.cites)
      if (!model_.sources[c].gone) works.push_back(model_.sources[c].word + (s.style % 3 ? " 2." + std::to_string(c + 1) : ""));
    if (!works.empty()) parts.push_back(" [" + join(works, "; ", "; ") + "]");
    std::string text;
    const std::size_t turn = parts.empty() ? 0 : static_cast<unsigned>(s.style / 6) % parts.size();
    for (std::size_t i = 0; i < parts.size(); ++i) text += parts[(i + turn) % parts.size()];
    return text;
  }

  // ---- claims and profiles

  std::string trend(const Trend& t) const {
    static const std::array<const char*, 3> changes = {"more ", "less ", "adding "};
    static const std::array<const char*, 4> verbs = {" never raises ", " never lowers ", " never lengthens ", " never shortens "};
    const Finding& f = model_.findings[t.of.finding];
    std::vector<std::string> names;
    for (int p : t.practices)
      if (!model_.practices[p].gone) names.push_back(model_.practices[p].name);
    return changes[static_cast<std::size_t>(t.change)] + (t.of.item >= 0 ? f.words[t.of.item] : f.name) + verbs[static_cast<std::size_t>(t.verb)] +
           (t.dose ? "the dose of " : "") + (names.empty() ? "any practice" : join(names, ", ", " or "));
  }

  void claims() {
    for (std::size_t i = 0; i < model_.claims.size(); ++i) {
      const Claim& c = model_.claims[i];
      if (c.gone) continue;
      mark(Spot::What::claim, static_cast<int>(i));
      put("Claim \"" + c.title + "\": " + (c.trend ? trend(*c.trend) : (c.never ? "never " : "always ") + words_.level(c.what)) +
          (c.when.kind == Cond::Kind::always ? "" : " in " + words_.level(c.when)) + ".\n");
    }
  }

  std::string answer(const Answer& a) const {
    const Finding& f = model_.findings[a.subject.finding];
    if (a.subject.item >= 0) return (a.word ? "" : "not ") + f.words[a.subject.item];
    switch (f.kind) {
      case Finding::Kind::yes_no: return (a.word ? "" : "not ") + f.name;
      case Finding::Kind::one_of:
      case Finding::Kind::grade: return f.name + ' ' + f.words[a.word];
      case Finding::Kind::date: return f.name + ' ' + date_words(static_cast<int>(a.number->get_num().get_si()));
      case Finding::Kind::time_of_day: return f.name + ' ' + clock_words(static_cast<int>(a.number->get_num().get_si()));
      default: return f.name + ' ' + (a.never ? "never" : decimal(*a.number));
    }
  }

  void samples() {
    static const std::array<const char*, 8> verdicts = {"outside", "referred", "withheld", "discouraged",
                                                        "advised", "allowed", "silent", "unanswered"};
    for (std::size_t i = 0; i < model_.samples.size(); ++i) {
      const Sample& s = model_.samples[i];
      if (s.gone) continue;
      std::vector<std::string> parts;
      for (const Answer& a : s.answers)
        if (!model_.findings[a.subject.finding].gone) parts.push_back(answer(a));
      if (s.rest_as_usual) parts.push_back("the rest as usual");
      mark(Spot::What::sample, static_cast<int>(i));
      put("Profile \"" + s.title + "\": " + join(parts, ", ", ", ") + ".\n");
      for (std::size_t e = 0; e < s.expectations.size(); ++e) {
        const Expectation& x = s.expectations[e];
        if (x.gone) continue;
        put("  ");
        mark(Spot::What::expectation, static_cast<int>(i), static_cast<int>(e));
        if (x.practice >= 0) {
          put("Expect " + model_.practices[x.practice].name + ' ' + verdicts[static_cast<std::size_t>(x.verdict)] +
              (x.with_care ? " with care" : "") + ".\n");
          continue;
        }
        std::vector<std::string> values;
        for (int v : x.values) values.push_back(model_.choices[x.choice].words[v]);
        put("Expect " + model_.choices[x.choice].name + ' ' + join(values, ", ", ", ") + ".\n");
      }
    }
  }

  const Model& model_;
  Words words_;
  Printed out_;
  std::set<int> declared_;
};

}  // namespace

Printed print(const Model& model) { return Printer(model).all(); }
std::string print(const Model& model, const Cond& cond) { return Words(model).level(cond); }
std::string print_item(const Model& model, const Cond& cond) { return Words(model).item(cond); }
std::string print_number(const Model& model, const Cond& cond, const Fraction& number) { return Words(model).number(cond, number); }

}  // namespace betony::referee
