// grammar/build.h: from the parts that a sentence left to the structures of tree.h.
//
//   build_condition.cpp    names, numbers, values, conditions, arithmetic, endings
//   build_atom.cpp         what may be asked of which name
//   build_declaration.cpp  the sentences that declare
//   build_practice.cpp     the sentences about practices and choices
//
// All may throw Refusal. Inside the grammar room only.
#pragma once

#include <optional>

#include "grammar/reading.h"

namespace betony::build {

// One part and what is below it.
class View {
 public:
  View(const Reading& r, std::uint32_t number) : r_(&r), number_(number) {}

  const Reading& reading() const { return *r_; }
  const Node& node() const { return r_->nodes[number_]; }
  Part part() const { return node().part; }
  std::string_view text() const { return r_->text().substr(node().begin, node().end - node().begin); }
  Span span() const { return r_->passage.span(node().begin, node().end); }

  class Iterator {
   public:
    Iterator(const Reading& r, std::uint32_t number) : r_(&r), number_(number) {}
    View operator*() const { return {*r_, number_}; }
    Iterator& operator++() {
      number_ = r_->nodes[number_].next;
      return *this;
    }
    bool operator!=(const Iterator& other) const { return number_ != other.number_; }

   private:
    const Reading* r_;
    std::uint32_t number_;
  };
  Iterator begin() const { return {*r_, number_ + 1}; }
  Iterator end() const { return {*r_, node().next}; }

  std::optional<View> child(Part part) const;
  View only() const { return *begin(); }
  bool has(Part part) const { return child(part).has_value(); }
  std::vector<View> children(Part part) const;

 private:
  const Reading* r_;
  std::uint32_t number_;
};

// The sentence's parts, beside one another. (A root stands before them: `root` of a Reading whose
// nodes were grown by `grow_sentence`.)
inline View root(const Reading& r) { return {r, 0}; }

[[noreturn]] void refuse_at(const View& view, std::string matter, std::string message, std::string remedy);

tree::Name name(const View& view);
tree::Name name(const Reading& r, std::size_t begin, std::size_t end);
std::vector<tree::Name> names(const View& parent);  // of all its children that are names
tree::Named named(const View& view);
tree::Text text(const View& view);
tree::Number number(const View& view);
tree::Unit unit(const View& view);
tree::Quantity quantity(const View& view);
tree::Condition condition(const View& level);
tree::Condition item(const View& view);  // atom, negation or bracket
// What is asked of a name by one comparison: "over 60".
tree::Atom test_of(const View& comparison, const tree::Name& name);
tree::Arithmetic arithmetic(const View& sum);
tree::Type type(const View& view);
std::optional<View> type_part(const View& parent);
tree::Ending ending(const View& parent);
std::optional<tree::Verdict> verdict(const View& view);

// Whether the name can be asked this; throws Refusal where it cannot.
void check_atom(const View& view, const tree::Atom& atom);

tree::Form declaration(Word opening, const View& root);
tree::Form practice_sentence(Word opening, const View& root);

bool is_declaration(Word opening);

}  // namespace betony::build
