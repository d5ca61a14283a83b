#include <nlohmann/json.hpp>

#include "runtime/betony.h"
#include "viz/terminal/weigh_page.h"

namespace betony::terminal {
namespace {

using Json = nlohmann::ordered_json;
using namespace runtime;

// A JSON number where that is exact for its reader, else "n/d".
Json number(const std::optional<Number>& n) {
  if (!n) return nullptr;
  const double near = n->near();
  if (Number::from(near) == *n && n->words().size() <= 16) {
    if (n->is_integer()) return static_cast<std::int64_t>(near);
    return near;
  }
  return n->words();
}

// A value as a profile's JSON has it.
Json value_json(const runtime::Finding& finding, const runtime::Value& v) {
  const bool is_count = finding.kind == runtime::Finding::Kind::number && v.kind == runtime::Value::Kind::number;
  return is_count ? number(v.number) : Json(value_words(finding, v));
}

class Answer {
 public:
  explicit Answer(const Weighed& weighed) : w_(weighed) {}

  Json json() const {
    Json refer = Json::array(), practices = Json::object(), choices = Json::object();
    for (Index s : w_.weighing.refers) refer.push_back(w_.pack.sentences[s].text);
    for (Index p = 0; p < w_.pack.practices.size(); ++p) practices[w_.pack.practices[p].name] = practice(w_.weighing.practices[p], w_.changes[p]);
    const Json next = w_.next ? Json(w_.pack.findings[w_.next->finding].name) : Json(nullptr);
    for (Index c = 0; c < w_.pack.choices.size(); ++c) {
      const auto names = [&](const std::vector<Index>& values) {
        Json out = Json::array();
        for (Index v : values) out.push_back(w_.pack.choices[c].values[v]);
        return out;
      };
      choices[w_.pack.choices[c].name] = {{"fits", names(w_.weighing.choices[c].fits)}, {"possible", names(w_.weighing.choices[c].possible)}};
    }
    Json out{{"betony", 1},    {"caution", w_.pack.about.caution}, {"possible", w_.weighing.possible},
             {"refer", refer}, {"next", next},                         {"practices", practices},
             {"choices", choices}};
    if (w_.seal.of_pack) out["seal"] = seal_json(w_.seal);
    return out;
  }

 private:
  Json sentences(const std::vector<Index>& list) const {
    Json out = Json::array();
    for (Index index : list) {
      const runtime::Sentence& s = w_.pack.sentences[index];
      Json citations = Json::array();
      for (const runtime::Citation& c : s.citations) citations.push_back(w_.pack.sources[c.source].word + (c.locus.empty() ? "" : " " + c.locus));
      out.push_back({{"text", s.words}, {"label", s.label}, {"citations", citations}, {"file", s.file}, {"line", s.line}});
    }
    return out;
  }

  static Json dose(const SettledDose& dose) {
    if (dose.open || dose.empty()) return nullptr;
    Json amounts = Json::array();
    for (const auto& part : dose.amounts) {
      const auto end = [&](const std::optional<Number>& base) {
        const auto reading = base ? divided(*base, part.scale) : std::nullopt;
        return reading ? std::optional(*reading - part.zero) : std::nullopt;
      };
      amounts.push_back(part.clash ? Json(nullptr) : Json{{"low", number(end(part.range.low))}, {"high", number(end(part.range.high))}, {"unit", part.unit}});
    }
    return {{"amounts", amounts},
            {"often", dose.often && !dose.often->clash ? Json(often_words(dose.often->range)) : Json(nullptr)},
            {"long", dose.length && !dose.length->clash ? Json(length_words(dose.length->range)) : Json(nullptr)},
            {"words", dose.words}};
  }

  Json change(const std::optional<Change>& change) const {
    if (!change) return nullptr;
    Json findings = Json::object();
    for (const auto& [f, v] : change->findings) findings[w_.pack.findings[f].name] = value_json(w_.pack.findings[f], v);
    return {{"findings", findings}, {"verdict", verdict_word(change->verdict)}};
  }

  Json practice(const PracticeTold& told, const std::optional<Change>& changed) const {
    Json possible = Json::array();
    const auto care = [](const Told& t) { return may_be_done(t.verdict) ? Json(t.with_care) : Json(nullptr); };
    for (const Told& t : told.possible) possible.push_back({{"verdict", verdict_word(t.verdict)}, {"with_care", care(t)}});
    return {{"verdict", told.verdict_settled() ? verdict_word(told.possible[0].verdict) : "unanswered"},
            {"with_care", told.settled() ? care(told.possible[0]) : Json(nullptr)},
            {"cautions", told.cautions},
            {"because", sentences(told.because)},
            {"defeated", sentences(told.defeated)},
            {"possible", possible},
            {"dose", dose(told.dose)},
            {"change", change(changed)}};
  }

  const Weighed& w_;
};

}  // namespace

nlohmann::ordered_json weigh_object(const Weighed& weighed) { return Answer(weighed).json(); }

const char* verdict_word(Verdict verdict) { return betony_verdict_word(static_cast<betony_verdict>(verdict)); }

std::string weigh_json(const Weighed& weighed, bool ascii) {
  return Answer(weighed).json().dump(-1, ' ', ascii, Json::error_handler_t::replace) + "\n";
}

std::string profile_json(const Pack& pack, const Answers& answers) {
  Json out = Json::object();
  for (Index f = 0; f < answers.size(); ++f)
    if (answers[f]) out[pack.findings[f].name] = value_json(pack.findings[f], *answers[f]);
  return out.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace betony::terminal
