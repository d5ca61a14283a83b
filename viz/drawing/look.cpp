#include "viz/drawing/look.h"

#include "viz/drawing/letters.h"

namespace betony::drawing {

const std::vector<Colour>& colours() {
  static const std::vector<Colour> table = {
      {"paper", "#f9f5ee", "#231d26", "#ffffff"},       {"ink", "#261d29", "#ece3d8", "#000000"},     {"soft", "#5d5361", "#b7abb6", "#333333"},
      {"rule", "#c9bfb8", "#4d4350", "#999999"},        {"betony", "#5c1450", "#e47bd6", "#000000"},  {"water", "#1a66a0", "#b9e2f4", "#000000"},
      {"ochre", "#7d4e00", "#dbae5c", "#000000"},       {"slate", "#625f66", "#a19ca4", "#333333"},   {"withheld", "#5c1450", "#74316a", "#000000"},
      {"on-withheld", "#f9f5ee", "#f6eee6", "#ffffff"}, {"advised", "#dce8ec", "#24384a", "#ffffff"}, {"care", "#f2e2bd", "#46371a", "#ffffff"},
      {"meeting", "#eedfe9", "#43293f", "#e6e6e6"},
  };
  return table;
}

namespace {

struct Rule {
  std::string_view selector, property, role, rest;
};
constexpr Rule rules[] = {
    {".t-ink,.m-ink", "fill", "ink", ""},
    {".t-soft", "fill", "soft", ""},
    {".t-betony", "fill", "betony", ""},
    {".t-water", "fill", "water", ""},
    {".t-ochre", "fill", "ochre", ""},
    {".t-slate", "fill", "slate", ""},
    {".t-paper", "fill", "on-withheld", ""},
    {".m-ink", "color", "ink", ""},
    {".m-soft", "color", "soft", ""},
    {".m-betony", "color", "betony", ""},
    {".m-water", "color", "water", ""},
    {".m-ochre", "color", "ochre", ""},
    {".m-slate", "color", "slate", ""},
    {".m-paper", "color", "on-withheld", ""},
    {".hair", "stroke", "rule", "stroke-width:1;fill:none"},
    {".line", "stroke", "ink", "stroke-width:1.2;fill:none"},
    {".edge", "stroke", "soft", "stroke-width:1.1;fill:none"},
    {".thick", "stroke", "ink", "stroke-width:2.5;fill:none"},
    {".ground", "stroke", "ink", "stroke-width:2.6;fill:none"},
    {".dotted", "stroke", "ink", "stroke-width:1.4;stroke-dasharray:1.6 3;fill:none"},
    {".dashed", "stroke", "ink", "stroke-width:1.2;stroke-dasharray:5 3.5;fill:none"},
    {".twofold", "stroke", "ink", "stroke-width:3.6;fill:none"},
    {".within", "stroke", "paper", "stroke-width:1.4;fill:none"},
    {".ban", "stroke", "betony", "stroke-width:1.4;fill:none"},
    {".outline", "stroke", "ink", "stroke-width:1.2"},
    {".b-outline", "stroke", "betony", "stroke-width:2"},
    {".f-paper,.sheet", "fill", "paper", ""},
    {".f-withheld,.p-withheld", "fill", "withheld", ""},
    {".f-ink,.p-ink", "fill", "ink", ""},
    {".f-water,.p-water", "fill", "water", ""},
    {".f-advised", "fill", "advised", ""},
    {".f-care", "fill", "care", ""},
    {".f-meeting", "fill", "meeting", ""},
    {".p-slate", "fill", "slate", ""},
    {".s-water", "stroke", "water", "stroke-width:1.1"},
    {".s-ochre", "stroke", "ochre", "stroke-width:1.5"},
    {".s-betony", "stroke", "betony", "stroke-width:2.2"},
    {".s-thin", "stroke", "betony", "stroke-width:1.3"},
    {".s-slate", "stroke", "slate", "stroke-width:1.2"},
};

std::string rules_by(std::string_view Colour::*colour, bool first) {
  std::string out;
  for (const Rule& rule : rules) {
    for (const Colour& c : colours())
      if (c.role == rule.role) {
        out += std::string(rule.selector) + "{" + std::string(rule.property) + ":" + std::string(c.*colour);
        if (first && !rule.rest.empty()) out += ";" + std::string(rule.rest);
        out += "}";
      }
  }
  return out;
}

std::string css_families() {
  std::string out, name;
  for (const char* p = families;; ++p) {
    if (*p != ',' && *p != 0) {
      name += *p;
      continue;
    }
    out += (out.empty() ? "" : ",") + (name == "serif" ? name : "\"" + name + "\"");
    name.clear();
    if (*p == 0) return out;
  }
}

}  // namespace

std::string style_sheet() {
  return "text{font-family:" + css_families() + "}" + rules_by(&Colour::day, true) + "\n@media (prefers-color-scheme:dark){" +
         rules_by(&Colour::night, false) + "}\n@media print{" + rules_by(&Colour::paper, false) + "}";
}

std::string_view class_of(Ink ink) {
  constexpr std::string_view names[] = {"ink", "soft", "betony", "water", "ochre", "slate", "paper"};
  return names[static_cast<int>(ink)];
}
std::string_view class_of(Line line) {
  constexpr std::string_view names[] = {"hair", "line", "edge", "thick", "ground", "dotted", "dashed", "twofold", "ban"};
  return names[static_cast<int>(line)];
}
std::string fill_class(Fill fill) {
  switch (fill) {
    case Fill::none: return "fill=\"none\"";
    case Fill::advised: return "fill=\"url(#p-advised)\"";
    case Fill::care: return "fill=\"url(#p-care)\"";
    case Fill::silent: return "fill=\"url(#p-silent)\"";
    case Fill::discouraged: return "fill=\"url(#p-discouraged)\"";
    case Fill::outside: return "fill=\"url(#p-outside)\"";
    case Fill::both: return "fill=\"url(#p-both)\"";
    case Fill::withheld: return "class=\"f-withheld\"";
    case Fill::referred: return "class=\"f-ink\"";
    case Fill::full: return "class=\"f-water\"";
    case Fill::open:
    case Fill::paper:
    case Fill::allowed: break;
  }
  return "class=\"f-paper\"";
}

std::string patterns() {
  return R"svg(<pattern id="p-advised" width="11" height="11" patternUnits="userSpaceOnUse"><rect width="11" height="11" class="f-advised"/><path d="M5.5 3.4V7.6" class="s-water"/></pattern>
<pattern id="p-care" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="8" height="8" class="f-care"/><path d="M0 0V8" class="s-ochre"/></pattern>
<pattern id="p-silent" width="9" height="9" patternUnits="userSpaceOnUse"><rect width="9" height="9" class="f-paper"/><circle cx="2" cy="2" r="1.1" class="p-slate"/></pattern>
<pattern id="p-discouraged" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="6" height="6" class="f-paper"/><path d="M0 3H6" class="s-thin"/></pattern>
<pattern id="p-outside" width="14" height="9" patternUnits="userSpaceOnUse"><rect width="14" height="9" class="f-paper"/><path d="M2 5H8" class="s-slate"/></pattern>
<pattern id="p-both" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="5" height="5" class="f-meeting"/><path d="M0 0V5" class="s-betony"/></pattern>
)svg";
}

std::string_view symbol_name(Mark::Kind kind) {
  constexpr std::string_view names[] = {"m-advised", "m-care",     "m-allowed", "m-silent",   "m-discouraged", "m-withheld",
                                        "m-outside", "m-referred", "m-error",   "m-question", "m-note",        "m-witness"};
  return names[static_cast<int>(kind)];
}

std::string_view symbol_of(Mark::Kind kind) {
  constexpr std::string_view drawings[] = {
      R"(<path d="M10 1C15.6 5 15.6 11.4 10 15.6C4.4 11.4 4.4 5 10 1Z" fill="currentColor" stroke="currentColor" stroke-width="1.2" stroke-linejoin="round"/><path d="M10 15V19.4" stroke="currentColor" stroke-width="1.7" stroke-linecap="round"/>)",
      R"(<path d="M10 1C15.6 5 15.6 11.4 10 15.6Z" fill="currentColor"/><path d="M10 1C15.6 5 15.6 11.4 10 15.6C4.4 11.4 4.4 5 10 1Z" fill="none" stroke="currentColor" stroke-width="1.5" stroke-linejoin="round"/><path d="M10 1V19.4" stroke="currentColor" stroke-width="1.7" stroke-linecap="round"/>)",
      R"(<path d="M10 1C15.6 5 15.6 11.4 10 15.6C4.4 11.4 4.4 5 10 1Z" fill="none" stroke="currentColor" stroke-width="1.5" stroke-linejoin="round"/><path d="M10 15.6V19.4" stroke="currentColor" stroke-width="1.7" stroke-linecap="round"/>)",
      R"(<path d="M10 10V18.4M3.4 18.4H16.6" fill="none" stroke="currentColor" stroke-width="1.7" stroke-linecap="round"/>)",
      R"(<path d="M1.6 2.2H5.2V17.8H1.6M18.4 2.2H14.8V17.8H18.4" fill="none" stroke="currentColor" stroke-width="2.1"/><path d="M5 10H15" stroke="currentColor" stroke-width="2.5"/>)",
      R"(<path d="M1.6 2.2H5.2V17.8H1.6M18.4 2.2H14.8V17.8H18.4" fill="none" stroke="currentColor" stroke-width="2.1"/><path d="M5 7.4H15M5 12.6H15" stroke="currentColor" stroke-width="2.5"/>)",
      R"(<path d="M3.4 18.4H16.6" fill="none" stroke="currentColor" stroke-width="1.7" stroke-linecap="round"/>)",
      R"(<path d="M4 1V19.4" stroke="currentColor" stroke-width="2.2" stroke-linecap="round"/><path d="M4 2H19L14.6 7.2L19 12.4H4Z" fill="currentColor"/>)",
      R"(<path d="M1.5 3.2L10 10L1.5 16.8ZM18.5 3.2L10 10L18.5 16.8Z" fill="currentColor" stroke="currentColor" stroke-width="1" stroke-linejoin="round"/>)",
      R"(<path d="M10 1.8L18.2 10L10 18.2L1.8 10Z" fill="none" stroke="currentColor" stroke-width="1.9" stroke-linejoin="round"/>)",
      R"(<path d="M10 3V17M3.9 6.5L16.1 13.5M16.1 6.5L3.9 13.5" stroke="currentColor" stroke-width="2.1" stroke-linecap="round"/>)",
      R"(<circle cx="10" cy="10" r="7" class="f-paper" stroke="currentColor" stroke-width="2.6"/>)",
  };
  return drawings[static_cast<int>(kind)];
}

Ink ink_of(tree::Verdict verdict, bool with_care) {
  switch (verdict) {
    case tree::Verdict::advised: return with_care ? Ink::ochre : Ink::water;
    case tree::Verdict::allowed: return with_care ? Ink::ochre : Ink::slate;
    case tree::Verdict::silent: return Ink::slate;
    case tree::Verdict::withheld:
    case tree::Verdict::discouraged: return Ink::betony;
    default: return Ink::ink;
  }
}
Fill fill_of(tree::Verdict verdict, bool with_care) {
  switch (verdict) {
    case tree::Verdict::advised: return with_care ? Fill::care : Fill::advised;
    case tree::Verdict::allowed: return with_care ? Fill::care : Fill::allowed;
    case tree::Verdict::silent: return Fill::silent;
    case tree::Verdict::discouraged: return Fill::discouraged;
    case tree::Verdict::withheld: return Fill::withheld;
    case tree::Verdict::referred: return Fill::referred;
    default: return Fill::outside;
  }
}
Mark::Kind mark_of(tree::Verdict verdict, bool with_care) {
  using Kind = Mark::Kind;
  switch (verdict) {
    case tree::Verdict::advised: return with_care ? Kind::care : Kind::advised;
    case tree::Verdict::allowed: return with_care ? Kind::care : Kind::allowed;
    case tree::Verdict::silent: return Kind::silent;
    case tree::Verdict::discouraged: return Kind::discouraged;
    case tree::Verdict::withheld: return Kind::withheld;
    case tree::Verdict::referred: return Kind::referred;
    default: return Kind::outside;
  }
}
Mark::Kind mark_of(Severity severity) {
  return severity == Severity::error ? Mark::Kind::error : severity == Severity::question ? Mark::Kind::question : Mark::Kind::note;
}

}  // namespace betony::drawing
