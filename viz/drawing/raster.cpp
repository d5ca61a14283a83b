// PNG and PDF of a leaf, made of its SVG, so that they show the same marks.
#include <cairo-pdf.h>
#include <cairo.h>
#include <librsvg/rsvg.h>

#include <memory>

#include "viz/drawing/drawing.h"

namespace betony::drawing {
namespace {

struct Free {
  void operator()(RsvgHandle* handle) const { g_object_unref(handle); }
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* cairo) const { cairo_destroy(cairo); }
};
using Handle = std::unique_ptr<RsvgHandle, Free>;
using Surface = std::unique_ptr<cairo_surface_t, Free>;
using Cairo = std::unique_ptr<cairo_t, Free>;

[[noreturn]] void trouble(GError* error) {
  const std::string why = error ? error->message : "no reason was told";
  if (error) g_error_free(error);
  throw DrawingTrouble("The drawing could not be turned into a picture: " + why);
}

Handle read(const std::string& svg) {
  GError* error = nullptr;
  Handle handle(rsvg_handle_new_from_data(reinterpret_cast<const guint8*>(svg.data()), svg.size(), &error));
  if (!handle) trouble(error);
  rsvg_handle_set_dpi(handle.get(), 96);
  return handle;
}

cairo_status_t append(void* to, const unsigned char* bytes, unsigned size) {
  static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(bytes), size);
  return CAIRO_STATUS_SUCCESS;
}

void draw(RsvgHandle* handle, cairo_surface_t* surface, double width, double height) {
  const Cairo cairo(cairo_create(surface));
  const RsvgRectangle whole{0, 0, width, height};
  GError* error = nullptr;
  if (!rsvg_handle_render_document(handle, cairo.get(), &whole, &error)) trouble(error);
  if (cairo_status(cairo.get()) != CAIRO_STATUS_SUCCESS) throw DrawingTrouble("The drawing is too large for a picture; ask for an SVG.");
}

std::pair<double, double> size_of(RsvgHandle* handle) {
  double width = 0, height = 0;
  if (!rsvg_handle_get_intrinsic_size_in_pixels(handle, &width, &height)) throw DrawingTrouble("The drawing has no size.");
  return {width, height};
}

}  // namespace

std::string png_of(const std::string& svg) {
  const Handle handle = read(svg);
  auto [width, height] = size_of(handle.get());
  double scale = 2;
  while (scale > 0.1 && (width * scale > 30'000 || height * scale > 30'000 || width * scale * height * scale > 2e8)) scale /= 2;
  const Surface surface(cairo_image_surface_create(CAIRO_FORMAT_ARGB32, static_cast<int>(width * scale), static_cast<int>(height * scale)));
  draw(handle.get(), surface.get(), width * scale, height * scale);
  std::string out;
  if (cairo_surface_write_to_png_stream(surface.get(), append, &out) != CAIRO_STATUS_SUCCESS)
    throw DrawingTrouble("The drawing is too large for a picture; ask for an SVG.");
  return out;
}

std::string pdf_of(const std::string& svg) {
  const Handle handle = read(svg);
  const auto [width, height] = size_of(handle.get());
  const double points = 0.75;  // of a px
  std::string out;
  {
    const Surface surface(cairo_pdf_surface_create_for_stream(append, &out, width * points, height * points));
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, "2000-01-01T00:00:00Z");  // not when: what
    draw(handle.get(), surface.get(), width * points, height * points);
    cairo_surface_finish(surface.get());
  }
  return out;
}

}  // namespace betony::drawing
