#include "runtime/weigh.h"

#include <algorithm>

#include "runtime/reach.h"

namespace betony::runtime {
namespace {

using Kind = Sentence::Kind;

class PracticeWeigher {
 public:
  PracticeWeigher(const Reach& reach, Index practice, const Reading& reading, const Slots& slots, Weighing& so_far, Truth refers)
      : reach_(reach), pack_(reach.pack()), practice_(pack_.practices[practice]), ways_(reading.practices[practice]), reading_(reading), slots_(slots), so_far_(so_far),
        refers_(refers), graph_(reading.graphs.empty() ? no_index : reading.graphs[practice]) {}

  PracticeTold weigh() {
    possible();
    if (out_.possible.size() > 1) narrow();
    give_reasons();
    give_cautions();
    const auto is_done = [](const Told& t) { return may_be_done(t.verdict); };
    if (std::all_of(out_.possible.begin(), out_.possible.end(), is_done))
      out_.dose = settle_dose(pack_, practice_, [this](Index s) { return fires(s); });
    return std::move(out_);
  }

 private:
  Truth fires(Index sentence) const { return slots_[reading_.fires[sentence]]; }
  bool surely(Index sentence) const { return fires(sentence) == Truth::yes; }

  // ---------------------------------------------------------------- the verdict

  void add(Verdict verdict, bool otherwise_care = false) {
    const Truth care = !may_be_done(verdict) ? Truth::no : otherwise_care ? Truth::yes : slots_[ways_.care];
    if (may_be_no(care)) out_.possible.push_back({verdict, false});
    if (may_be_yes(care)) out_.possible.push_back({verdict, true});
  }

  // Down the ladder: at each rung those who may stop there, and on with those who may not.
  void possible() {
    const std::pair<Verdict, Truth> rungs[] = {{Verdict::outside, opposite(so_far_.applies)}, {Verdict::referred, refers_},
                                               {Verdict::withheld, slots_[ways_.withheld]},   {Verdict::discouraged, slots_[ways_.discouraged]},
                                               {Verdict::advised, slots_[ways_.advised]},     {Verdict::allowed, slots_[ways_.allowed]}};
    for (const auto& [verdict, holds] : rungs) {
      if (may_be_yes(holds)) add(verdict);
      if (!may_be_no(holds)) return;
    }
    add(ways_.otherwise, ways_.otherwise_care);
    // The otherwise may say what was said above.
    std::sort(out_.possible.begin(), out_.possible.end(), [](const Told& a, const Told& b) { return std::pair(a.verdict, a.with_care) < std::pair(b.verdict, b.with_care); });
    out_.possible.erase(std::unique(out_.possible.begin(), out_.possible.end()), out_.possible.end());
  }

  // Those of them that can be reached in the decision graph.
  void narrow() {
    out_.exact = graph_ != no_index && reach_.is_exact(pack_.graphs[graph_]);
    if (graph_ == no_index) return;
    const std::uint32_t leaves = reach_.verdicts(pack_.graphs[graph_]);
    std::vector<Told> reached;
    for (const Told& t : out_.possible)
      if (leaves & std::uint32_t{1} << (static_cast<Index>(t.verdict) + (t.with_care ? DecisionGraph::care : 0))) reached.push_back(t);
    if (reached.empty()) so_far_.possible = false;  // nobody is so
    else out_.possible = std::move(reached);
    out_.exact = out_.exact || out_.possible.size() == 1;
  }

  // ---------------------------------------------------------------- why

  // Bans that a sentence which surely fires takes back.
  std::vector<Index> taken_back() const {
    std::vector<Index> all;
    for (Index s : practice_.sentences)
      if ((kind(s) == Kind::indicated || kind(s) == Kind::allowed) && surely(s)) all.insert(all.end(), pack_.sentences[s].despite.begin(), pack_.sentences[s].despite.end());
    std::sort(all.begin(), all.end());
    return all;
  }
  Kind kind(Index s) const { return pack_.sentences[s].kind; }

  static Verdict spoken(Kind kind) {
    switch (kind) {
      case Kind::contraindicated: return Verdict::withheld;
      case Kind::discouraged: return Verdict::discouraged;
      case Kind::indicated: return Verdict::advised;
      case Kind::allowed: return Verdict::allowed;
      default: return Verdict::silent;
    }
  }
  bool is_possible(Verdict verdict) const {
    return std::any_of(out_.possible.begin(), out_.possible.end(), [&](const Told& t) { return t.verdict == verdict; });
  }

  void give_reasons() {
    if (out_.possible.size() == 1 && out_.possible[0].verdict == Verdict::referred) out_.because = so_far_.refers;
    if (out_.possible.back().verdict <= Verdict::referred) return;
    const std::vector<Index> back = taken_back();
    const bool under_a_ban = out_.verdict_settled() && (out_.possible[0].verdict == Verdict::withheld || out_.possible[0].verdict == Verdict::discouraged);
    bool spoke = false;
    for (Index s : practice_.sentences) {
      const bool ban = kind(s) == Kind::contraindicated || kind(s) == Kind::discouraged, may = kind(s) == Kind::indicated || kind(s) == Kind::allowed;
      if (!ban && !may) continue;
      if (fires(s) == Truth::open && !out_.verdict_settled() && is_possible(spoken(kind(s)))) out_.may_yet.push_back(s);
      if (!surely(s)) continue;
      if (ban && std::binary_search(back.begin(), back.end(), s)) out_.defeated.push_back(s);
      else if (may && under_a_ban) out_.defeated.push_back(s);
      else if (is_possible(spoken(kind(s)))) out_.because.push_back(s), spoke = true;
    }
    if (!spoke && out_.verdict_settled()) spoke = give_either_way();
    const bool otherwise = out_.verdict_settled() && !spoke && ways_.otherwise_sentence != no_index && out_.possible[0].verdict == ways_.otherwise;
    if (otherwise) out_.because.push_back(ways_.otherwise_sentence);
  }

  // Where one or another of several sentences makes the verdict whatever is still told, all of these.
  bool give_either_way() {
    const Verdict verdict = out_.possible[0].verdict;
    if (verdict < Verdict::withheld || verdict > Verdict::allowed) return false;
    for (Index s : practice_.sentences)
      if (fires(s) == Truth::open && spoken(kind(s)) == verdict) out_.because.push_back(s);
    return !out_.because.empty() && verdict != ways_.otherwise;
  }

  void give_cautions() {
    const bool is_done = out_.verdict_settled() && may_be_done(out_.possible[0].verdict);
    for (Index s : practice_.sentences) {
      if (kind(s) != Kind::caution || !surely(s)) continue;
      const std::string& text = pack_.sentences[s].text;
      if (!text.empty() && std::find(out_.cautions.begin(), out_.cautions.end(), text) == out_.cautions.end()) out_.cautions.push_back(text);
      if (is_done) out_.because.push_back(s);
    }
  }

  const Reach& reach_;
  const Pack& pack_;
  const Practice& practice_;
  const Reading::Ways& ways_;
  const Reading& reading_;
  const Slots& slots_;
  Weighing& so_far_;
  const Truth refers_;
  const Index graph_;
  PracticeTold out_;
};

}  // namespace

bool PracticeTold::verdict_settled() const {
  return std::all_of(possible.begin(), possible.end(), [&](const Told& t) { return t.verdict == possible[0].verdict; });
}

namespace {

// The red flags that fire; of a person who is referred whichever of several it is, all of these.
std::vector<Index> flags(const Reach& reach, const Reading& reading, const Slots& slots) {
  const Pack& pack = reach.pack();
  const auto that_fire = [&](Truth wanted) {
    std::vector<Index> out;
    for (Index s = 0; s < pack.sentences.size(); ++s)
      if (pack.sentences[s].kind == Kind::refer && slots[reading.fires[s]] == wanted) out.push_back(s);
    return out;
  };
  std::vector<Index> surely = that_fire(Truth::yes);
  if (!surely.empty() || slots[reading.refers] == Truth::no || reading.red_flags == no_index) return surely;
  const bool settled = reach.verdicts(pack.graphs[reading.red_flags]) == std::uint32_t{1} << static_cast<unsigned>(Verdict::referred);
  return settled ? that_fire(Truth::open) : surely;
}

}  // namespace

Weighing weigh(const Pack& pack, const Answers& answers, Index which) {
  const Reading& reading = pack.readings[which];
  const Reach reach(pack, answers);
  const Slots slots(pack.program, inputs_of(pack, reach.cells()));
  Weighing out;
  out.possible = reach.anybody();
  out.applies = slots[reading.applies];
  out.refers = flags(reach, reading, slots);
  for (Index p = 0; p < pack.practices.size(); ++p)
    out.practices.push_back(PracticeWeigher(reach, p, reading, slots, out, slots[reading.refers]).weigh());
  for (const auto& fits : reading.fits) {
    ChoiceTold& choice = out.choices.emplace_back();
    for (Index v = 0; v < fits.size(); ++v) {
      if (slots[fits[v]] == Truth::yes) choice.fits.push_back(v);
      if (may_be_yes(slots[fits[v]])) choice.possible.push_back(v);
    }
  }
  return out;
}

}  // namespace betony::runtime
