#include "viz/terminal/read_json.h"

#include <cmath>

#include "viz/terminal/json.h"

namespace betony::terminal {
namespace {

using Json = nlohmann::ordered_json;

constexpr double whole_numbers = 9007199254740992.0;  // up to 2^53 every reader of JSON keeps them exact
constexpr std::size_t plain_digits = 15;              // decimals that a double gives back as they were written

const char* word(Severity severity) {
  switch (severity) {
    case Severity::error: return "error";
    case Severity::question: return "question";
    case Severity::note: return "note";
  }
  return "";
}

std::string fraction(const Rational& x) { return x.get_num().get_str() + "/" + x.get_den().get_str(); }

// The double nearest to x; GMP's own conversion cuts off instead of rounding.
double nearest_double(const Rational& x) {
  const double cut = x.get_d();
  const double next = std::nextafter(cut, x > 0 ? HUGE_VAL : -HUGE_VAL);
  return abs(Rational(next) - x) < abs(x - Rational(cut)) ? next : cut;
}

// Whether x is a decimal of at most 15 digits.
bool is_plain_decimal(const Rational& x) {
  Rational scaled = abs(x);
  for (std::size_t places = 0; places <= plain_digits; ++places, scaled *= 10)
    if (scaled.get_den() == 1) return scaled.get_num().get_str().size() <= plain_digits;
  return false;
}

}  // namespace

Json number_json(const Rational& x) {
  if (x.get_den() == 1 && abs(x) < whole_numbers) return x.get_num().get_si();
  if (is_plain_decimal(x)) return nearest_double(x);
  return fraction(x);
}

namespace {

// The next double below or above where rounding went the other way: an interval keeps what it held.
double lower(const Rational& x) {
  const double d = x.get_d();
  return Rational(d) > x ? std::nextafter(d, -HUGE_VAL) : d;
}
double upper(const Rational& x) {
  const double d = x.get_d();
  return Rational(d) < x ? std::nextafter(d, HUGE_VAL) : d;
}

}  // namespace

Json share_json(const Share& share) {
  if (share.exact) {
    const double nearest = nearest_double(share.low);
    return {{"exact", fraction(share.low)}, {"low", nearest}, {"high", nearest}};
  }
  return {{"exact", nullptr}, {"low", lower(share.low)}, {"high", upper(share.high)}};
}

namespace {

Json value_json(const Finding& finding, const Value& value) {
  const bool plain_number = value.kind == Value::Kind::number && finding.kind == Finding::Kind::number;
  return plain_number ? number_json(value.number) : Json(value_words(finding, value));
}

}  // namespace

Json person_json(const Ruleset& ruleset, const Profile& person) {
  Json out = Json::object();
  for (std::size_t i = 0; i < person.size() && i < ruleset.findings.size(); ++i)
    if (const auto& value = person[i]) out[ruleset.findings[i].name] = value_json(ruleset.findings[i], *value);
  return out;
}

Json place_json(const Sources& sources, const Place& place) {
  const auto at = sources.begin(place);
  Json out = {{"file", sources.name(place.file)}, {"line", at.line}, {"column", at.column}};
  if (sources.lines(place.file).has_rows()) out["row"] = sources.number(place);
  return out;
}

namespace {

Json sentence_json(const Sources& sources, const Concerned& c) {
  Json out = {{"label", c.label}, {"text", c.text}};
  out.update(place_json(sources, c.place));
  out["marks"] = Json::array();
  for (const auto& mark : c.marks) {
    Json at = place_json(sources, mark.place);
    at["length"] = sources.letters(mark.place);
    out["marks"].push_back(at);
  }
  return out;
}

Json problem_json(const Ruleset& ruleset, const Sources& sources, const Problem& p, std::size_t number) {
  Json out = {{"number", number},       {"kind", p.kind},         {"form", p.form},     {"severity", word(p.severity)},
              {"practice", p.practice}, {"choice", p.choice},     {"school", p.school}, {"finding", p.finding}};
  out["sentences"] = Json::array();
  for (const Concerned& c : p.sentences) out["sentences"].push_back(sentence_json(sources, c));
  out["pairs"] = Json::array();
  for (const auto& [a, b] : p.pairs) out["pairs"].push_back(Json::array({a, b}));
  if (p.more_pairs > 0) out["more_pairs"] = p.more_pairs;
  out["share"] = p.has_share ? share_json(p.share) : Json(nullptr);
  out["region"] = p.region;
  out["witness"] = p.witness ? person_json(ruleset, *p.witness) : Json(nullptr);
  out["matter"] = p.matter;
  out["sense"] = p.sense;
  out["replay"] = p.replay;
  out["write"] = p.write;
  return out;
}

Json sources_json(const Ruleset& ruleset, const SourcesDisagree& seen) {
  Json out = {{"sources", Json::array()}, {"places", seen.places}, {"share", share_json(seen.share)}, {"prevails", Json::object()}};
  for (const auto* side : {&seen.first, &seen.second}) {
    const std::string& source = ruleset.sources.at(side->source).word;
    out["sources"].push_back(source);
    out["prevails"][source] = {{"places", side->places}, {"share", share_json(side->share)}};
  }
  return out;
}

Json counts_json(const Report& report) {
  Json out = {{"error", 0}, {"question", 0}, {"note", 0}};
  for (const Problem& p : report.problems) out[word(p.severity)] = out[word(p.severity)].get<int>() + 1;
  return out;
}

}  // namespace

std::string text_of(const Json& json, bool plain_letters) {
  return json.dump(2, ' ', plain_letters, Json::error_handler_t::replace) + "\n";
}

std::string read_json(const Ruleset& ruleset, const Report& report, bool plain_letters) {
  const Sources sources(ruleset.tree.files);
  Json out = {{"betony", shape_version}, {"ruleset", ruleset.title}, {"edition", ruleset.edition}};
  out["problems"] = Json::array();
  for (std::size_t i = 0; i < report.problems.size(); ++i) out["problems"].push_back(problem_json(ruleset, sources, report.problems[i], i + 1));
  out["sources_disagree"] = Json::array();
  for (const SourcesDisagree& seen : report.sources_disagree) out["sources_disagree"].push_back(sources_json(ruleset, seen));
  out["counts"] = counts_json(report);
  out["settled"] = report.settled();
  out["not_settled"] = report.not_settled;
  return text_of(out, plain_letters);
}

std::string unreadable_json(const std::vector<SourceFile>& files, const std::vector<Message>& messages,
                            bool plain_letters) {
  const Sources sources(files);
  Json out = {{"betony", shape_version}, {"unreadable", Json::array()}};
  for (const Message& m : messages) {
    Json one = place_json(sources, m.where);
    one["length"] = sources.letters(m.where);
    one["matter"] = m.matter;
    one["message"] = m.message;
    one["remedy"] = m.remedy;
    out["unreadable"].push_back(one);
  }
  return text_of(out, plain_letters);
}

}  // namespace betony::terminal
