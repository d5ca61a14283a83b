#include "viz/drawing/placing.h"

#include <graphviz/gvc.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <mutex>

namespace betony::drawing {
namespace {

// Attributes and names are char* in Graphviz's calls; it does not write to them.
char* mutable_text(const char* text) { return const_cast<char*>(text); }

std::string whole(double x) { return std::to_string(static_cast<long>(std::ceil(x))); }

std::string cell(double width, double height, const std::string& more) {
  return "<TD FIXEDSIZE=\"TRUE\" WIDTH=\"" + whole(width) + "\" HEIGHT=\"" + whole(height) + "\"" + more + "></TD>";
}

// A row or a column each: of tables that are both, Graphviz 2.43 keeps some memory for ever.
constexpr const char* bare = "<TABLE BORDER=\"0\" CELLBORDER=\"0\" CELLSPACING=\"0\" CELLPADDING=\"0\">";

std::string table(const Placing::Form& form, double padded_to) {
  double answers = 0, height = form.head.height;
  for (const auto& a : form.answers) answers += std::ceil(a.width);
  const double width = std::max(std::ceil(form.head.width), answers);
  std::string out = std::string(bare) + "<TR>" + cell(width, form.head.height, "") + "</TR>";
  if (!form.answers.empty()) {
    out += std::string("<TR><TD>") + bare + "<TR>";
    // What is left over goes to the answers alike.
    const double more = std::floor((width - answers) / static_cast<double>(form.answers.size()));
    double left = width;
    for (std::size_t i = 0; i < form.answers.size(); ++i) {
      const double w = i + 1 == form.answers.size() ? left : std::ceil(form.answers[i].width) + more;
      left -= w;
      out += cell(w, form.answers[i].height, " PORT=\"a" + std::to_string(i) + "\"");
    }
    out += "</TR></TABLE></TD></TR>";
    height += form.answers[0].height;
  }
  if (padded_to > height) out += "<TR>" + cell(width, padded_to - height, "") + "</TR>";
  return out + "</TABLE>";
}

double height_of(const Placing::Form& form) { return form.head.height + (form.answers.empty() ? 0 : form.answers[0].height); }

struct Context {
  GVC_t* gvc = gvContext();
  ~Context() { gvFreeContext(gvc); }
};

// A graph that is closed again, laid out or not.
class Drawn {
 public:
  explicit Drawn(GVC_t* gvc) : gvc_(gvc), graph_(agopen(mutable_text("leaf"), Agdirected, nullptr)) {}
  ~Drawn() {
    if (laid_) gvFreeLayout(gvc_, graph_);
    agclose(graph_);
  }
  Drawn(const Drawn&) = delete;
  Agraph_t* graph() const { return graph_; }
  void lay() {
    laid_ = true;
    if (gvLayout(gvc_, graph_, "dot") != 0) throw DrawingTrouble("The drawing could not be laid out.");
  }

 private:
  GVC_t* gvc_;
  Agraph_t* graph_;
  bool laid_ = false;
};

Stroke stroke_of(Agedge_t* edge, double height) {
  Stroke out;
  out.line = Line::edge;
  const splines* spl = ED_spl(edge);
  if (!spl || spl->size == 0) return out;
  const bezier& b = spl->list[0];
  const auto point = [&](int i) { return Point{b.list[i].x, height - b.list[i].y}; };
  out.from = point(0);
  for (int i = 1; i + 2 < b.size; i += 3) out.curve(point(i), point(i + 1), point(i + 2));
  return out;
}

}  // namespace

std::size_t Placing::box(const Form& form, bool at_foot) {
  forms_.push_back(form);
  at_foot_.push_back(at_foot);
  return forms_.size() - 1;
}

void Placing::edge(std::size_t from, std::size_t answer, std::size_t to) { edges_.push_back({from, answer, to}); }

Placed Placing::place() const {
  static std::mutex one_at_a_time;
  const std::lock_guard lock(one_at_a_time);
  static const Context context;
  Drawn drawn(context.gvc);
  Agraph_t* g = drawn.graph();
  const auto graph_is = [&](const char* name, const char* value) { agattr(g, AGRAPH, mutable_text(name), mutable_text(value)); };
  graph_is("rankdir", "TB"), graph_is("nodesep", "0.28"), graph_is("ranksep", "0.5"), graph_is("splines", "true"), graph_is("ordering", "out");
  graph_is("margin", "0"), graph_is("pad", "0");
  agattr(g, AGNODE, mutable_text("shape"), mutable_text("plain"));
  agattr(g, AGNODE, mutable_text("label"), mutable_text(""));
  agattr(g, AGEDGE, mutable_text("arrowhead"), mutable_text("none"));
  agattr(g, AGEDGE, mutable_text("tailport"), mutable_text(""));
  agattr(g, AGEDGE, mutable_text("headport"), mutable_text("n"));
  double foot = 0;
  for (std::size_t i = 0; i < forms_.size(); ++i)
    if (at_foot_[i]) foot = std::max(foot, height_of(forms_[i]));
  Agraph_t* sink = agsubg(g, mutable_text("foot"), 1);
  agattr(sink, AGRAPH, mutable_text("rank"), mutable_text("same"));
  agsafeset(sink, mutable_text("rank"), mutable_text("sink"), mutable_text("same"));
  std::vector<Agnode_t*> nodes;
  for (std::size_t i = 0; i < forms_.size(); ++i) {
    const std::string name = "n" + std::to_string(i), label = table(forms_[i], at_foot_[i] ? foot : 0);
    Agnode_t* node = agnode(g, mutable_text(name.c_str()), 1);
    char* html = agstrdup_html(g, mutable_text(label.c_str()));
    agset(node, mutable_text("label"), html);
    agstrfree(g, html);
    if (at_foot_[i]) agsubnode(sink, node, 1);
    nodes.push_back(node);
  }
  std::vector<Agedge_t*> edges;
  for (const Edge& e : edges_) {
    Agedge_t* edge = agedge(g, nodes[e.from], nodes[e.to], nullptr, 1);
    if (!forms_[e.from].answers.empty())
      agsafeset(edge, mutable_text("tailport"), mutable_text(("a" + std::to_string(e.answer) + ":s").c_str()), mutable_text(""));
    edges.push_back(edge);
  }
  drawn.lay();
  Placed out;
  const boxf bounds = GD_bb(g);
  out.width = bounds.UR.x, out.height = bounds.UR.y;
  for (std::size_t i = 0; i < nodes.size(); ++i)
    out.boxes.push_back({ND_coord(nodes[i]).x - ND_width(nodes[i]) * 36, out.height - ND_coord(nodes[i]).y - ND_height(nodes[i]) * 36});
  for (Agedge_t* edge : edges) out.edges.push_back(stroke_of(edge, out.height));
  return out;
}

// ---------------------------------------------------------------- DOT

struct DotWriter::Graph {
  Agraph_t* graph;
};

DotWriter::DotWriter(const std::string& name) : graph_(std::make_unique<Graph>()) {
  graph_->graph = agopen(mutable_text(name.c_str()), Agdirected, nullptr);
  Agraph_t* g = graph_->graph;
  for (const auto& [attribute, value] : {std::pair("rankdir", "TB"), {"ordering", "out"}, {"nodesep", "0.28"}, {"ranksep", "0.5"}})
    agattr(g, AGRAPH, mutable_text(attribute), mutable_text(value));
  for (const auto& [attribute, value] : {std::pair("shape", "plain"), {"fontname", "Vollkorn"}, {"class", ""}, {"label", ""}})
    agattr(g, AGNODE, mutable_text(attribute), mutable_text(value));
  for (const auto& [attribute, value] : {std::pair("arrowhead", "none"), {"tailport", ""}, {"tooltip", ""}})
    agattr(g, AGEDGE, mutable_text(attribute), mutable_text(value));
}
DotWriter::~DotWriter() { agclose(graph_->graph); }

void DotWriter::node(const std::string& name, const std::string& kind, const std::string& label) {
  Agraph_t* g = graph_->graph;
  Agnode_t* node = agnode(g, mutable_text(name.c_str()), 1);
  agset(node, mutable_text("class"), mutable_text(kind.c_str()));
  char* html = agstrdup_html(g, mutable_text(label.c_str()));
  agset(node, mutable_text("label"), html);
  agstrfree(g, html);
}

void DotWriter::edge(const std::string& from, const std::string& port, const std::string& to, const std::string& answer) {
  Agraph_t* g = graph_->graph;
  Agedge_t* edge = agedge(g, agnode(g, mutable_text(from.c_str()), 0), agnode(g, mutable_text(to.c_str()), 0), nullptr, 1);
  agset(edge, mutable_text("tailport"), mutable_text(port.c_str()));
  agset(edge, mutable_text("tooltip"), mutable_text(answer.c_str()));
}

std::string DotWriter::take() const {
  char* text = nullptr;
  std::size_t size = 0;
  std::FILE* to = open_memstream(&text, &size);
  if (!to) throw DrawingTrouble("There is no memory for the drawing.");
  agwrite(graph_->graph, to);
  std::fclose(to);
  std::string out(text, size);
  std::free(text);
  return out;
}

}  // namespace betony::drawing
