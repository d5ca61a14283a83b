#include "viz/drawing/letters.h"

#include <pango/pangocairo.h>
#include <unicode/uchar.h>
#include <unicode/utf8.h>

namespace betony::drawing {

const char* const families =
    "Vollkorn,Gentium Plus,Noto Serif,Annapurna SIL,Noto Serif Devanagari,Noto Serif Tamil,Amiri,Noto Naskh Arabic,Noto Serif CJK SC,DejaVu "
    "Serif,serif";

struct Letters::Layout {
  PangoContext* context = nullptr;
  PangoLayout* layout = nullptr;

  Layout() {
    context = pango_font_map_create_context(pango_cairo_font_map_get_default());  // the thread's own; kept by Pango
    pango_cairo_context_set_resolution(context, 96);
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(context, options);
    cairo_font_options_destroy(options);
    pango_context_set_round_glyph_positions(context, FALSE);
    layout = pango_layout_new(context);
    pango_layout_set_auto_dir(layout, FALSE);
  }
  ~Layout() {
    g_object_unref(layout);
    g_object_unref(context);
  }
  void set(const std::string& text, const Face& face, double width) {
    PangoFontDescription* font = pango_font_description_new();
    pango_font_description_set_family_static(font, families);
    pango_font_description_set_absolute_size(font, face.size * PANGO_SCALE);
    pango_font_description_set_style(font, face.italic ? PANGO_STYLE_ITALIC : PANGO_STYLE_NORMAL);
    pango_font_description_set_weight(font, static_cast<PangoWeight>(face.weight));
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
    pango_layout_set_width(layout, width < 0 ? -1 : static_cast<int>(width * PANGO_SCALE));
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    pango_layout_set_text(layout, text.data(), static_cast<int>(text.size()));
  }
  double measured() const {
    PangoRectangle logical;
    pango_layout_get_extents(layout, nullptr, &logical);
    return static_cast<double>(logical.width) / PANGO_SCALE;
  }
  double reach() const {
    PangoRectangle ink;
    pango_layout_get_extents(layout, &ink, nullptr);
    return static_cast<double>(ink.y + ink.height - pango_layout_get_baseline(layout)) / PANGO_SCALE;
  }
};

Letters::Letters() : layout_(std::make_unique<Layout>()) {}
Letters::~Letters() = default;

double Letters::width(const std::string& text, const Face& face) {
  const std::string key = std::to_string(static_cast<int>(face.size * 100)) + (face.italic ? "i" : "n") + std::to_string(face.weight) + text;
  const auto [known, is_new] = known_.try_emplace(key, 0);
  if (is_new) {
    layout_->set(text, face, -1);
    known->second = layout_->measured();
  }
  return known->second;
}

double Letters::depth(const std::string& text, const Face& face) {
  layout_->set(text, face, -1);
  return layout_->reach();
}

std::vector<std::string> Letters::lines(const std::string& text, const Face& face, double most_width, std::size_t most) {
  layout_->set(text, face, std::max(most_width * 0.995, face.size));  // librsvg sets letters a trace wider
  std::vector<std::string> out;
  const int count = pango_layout_get_line_count(layout_->layout);
  for (int i = 0; i < count; ++i) {
    const PangoLayoutLine* line = pango_layout_get_line_readonly(layout_->layout, i);
    std::string part = text.substr(static_cast<std::size_t>(line->start_index), static_cast<std::size_t>(line->length));
    while (!part.empty() && part.back() == ' ') part.pop_back();
    out.push_back(std::move(part));
  }
  if (out.size() <= most) return out;
  out.resize(most);
  std::string& last = out.back();
  while (!last.empty() && width(last + "…", face) > most_width) {
    unsigned char byte;
    do byte = static_cast<unsigned char>(last.back()), last.pop_back();
    while (!last.empty() && (byte & 0xc0) == 0x80);  // the letter's other bytes
  }
  last += "…";
  return out;
}

std::string one_line(const std::string& text) {
  constexpr const char *from_right = "\xe2\x81\xa7", *end_of_run = "\xe2\x81\xa9";
  std::string out;
  bool space = false;
  std::size_t run = std::string::npos, run_end = 0;  // what has been put since the first letter of a run; up to its last
  const auto close = [&] {
    if (run == std::string::npos) return;
    out.insert(run_end, end_of_run);
    out.insert(run, from_right);
    run = std::string::npos;
  };
  const auto* bytes = reinterpret_cast<const std::uint8_t*>(text.data());
  const auto size = static_cast<std::int32_t>(text.size());
  for (std::int32_t i = 0; i < size;) {
    const std::int32_t begin = i;
    UChar32 letter;
    U8_NEXT(bytes, i, size, letter);
    if (letter < 0) {
      out += "\xef\xbf\xbd";
      continue;
    }
    if (u_isUWhiteSpace(letter)) {
      space = !out.empty();
      continue;
    }
    // Controls, and marks that turn the direction of what follows.
    if (u_iscntrl(letter) || (letter >= 0x202a && letter <= 0x202e) || (letter >= 0x2066 && letter <= 0x2069)) continue;
    const UCharDirection direction = u_charDirection(letter);
    if (direction == U_LEFT_TO_RIGHT) close();
    if (space) out += ' ';
    space = false;
    const std::size_t at = out.size();
    out.append(text, static_cast<std::size_t>(begin), static_cast<std::size_t>(i - begin));
    // Digits of other scripts, marks over letters: they belong to a run, and begin none.
    const bool is_letter = direction == U_RIGHT_TO_LEFT || direction == U_RIGHT_TO_LEFT_ARABIC;
    if (is_letter && run == std::string::npos) run = at;
    if (run != std::string::npos && (is_letter || direction == U_ARABIC_NUMBER || direction == U_DIR_NON_SPACING_MARK)) run_end = out.size();
  }
  close();
  return out;
}

}  // namespace betony::drawing
