#include "runtime/blocks.h"

#include <algorithm>
#include <array>
#include <map>
#include <tuple>
#include <utility>

#include "runtime/blocks_kernel.h"

namespace betony::runtime {
namespace {

using Operands = std::vector<Index>;  // node * 2, plus 1 for its opposite; ascending and each once
constexpr Index no = 0, yes = 1;
constexpr std::size_t longest_run = 1 << 16;  // of places in an instruction; the count has 24 bits

// ---------------------------------------------------------------- what is asked for, each thing once

// Node 0 is `no`, then come the inputs, then what is made, each after what it asks for.
class Net {
 public:
  enum class Kind : std::uint8_t { leaf, any, parity, most };
  struct Node {
    Kind kind = Kind::leaf;
    Operands operands;
  };
  explicit Net(Index inputs) : leaves_(1 + inputs), nodes_(leaves_) {}

  Index leaves() const { return leaves_; }
  Index size() const { return static_cast<Index>(nodes_.size()); }
  const Node& operator[](Index node) const { return nodes_[node]; }

  Index any(Operands parts) {
    std::sort(parts.begin(), parts.end());
    parts.erase(std::unique(parts.begin(), parts.end()), parts.end());
    if (!parts.empty() && parts[0] == no) parts.erase(parts.begin());
    if (!parts.empty() && parts[0] == yes) return yes;
    for (std::size_t i = 1; i < parts.size(); ++i)
      if ((parts[i] ^ 1u) == parts[i - 1]) return yes;
    if (parts.empty()) return no;
    return parts.size() == 1 ? parts[0] : node(Kind::any, std::move(parts));
  }
  Index all(Operands parts) {
    for (Index& o : parts) o ^= 1u;
    return any(std::move(parts)) ^ 1u;
  }

  Index parity(const Operands& parts) {
    Index negated = 0;
    Operands odd;
    for (const Index o : sorted_without_signs(parts, negated)) {
      if (!odd.empty() && odd.back() == o) odd.pop_back();
      else odd.push_back(o);
    }
    while (odd.size() > longest_run) odd = in_runs(odd);
    if (odd.empty()) return no ^ negated;
    return (odd.size() == 1 ? odd[0] : node(Kind::parity, std::move(odd))) ^ negated;
  }

  // Of the opposites of three it is the opposite; so at most one is negated, and that stands first.
  Index most(Operands three) {
    std::sort(three.begin(), three.end());
    if (three[0] == three[1] || three[1] == three[2]) return three[1];
    if ((three[0] ^ 1u) == three[1]) return three[2];
    if ((three[1] ^ 1u) == three[2]) return three[0];
    if (three[0] == no) return all({three[1], three[2]});
    if (three[0] == yes) return any({three[1], three[2]});
    const bool turned = (three[0] & 1u) + (three[1] & 1u) + (three[2] & 1u) > 1;
    for (Index& o : three) o ^= Index{turned};
    std::stable_sort(three.begin(), three.end(), [](Index a, Index b) { return (a & 1u) > (b & 1u); });
    return node(Kind::most, std::move(three)) ^ Index{turned};
  }

 private:
  static Operands sorted_without_signs(Operands parts, Index& negated) {
    for (Index& o : parts) negated ^= o & 1u, o &= ~1u;
    std::sort(parts.begin(), parts.end());
    parts.erase(parts.begin(), std::upper_bound(parts.begin(), parts.end(), no));
    return parts;
  }
  Operands in_runs(const Operands& parts) {
    Operands out;
    for (std::size_t i = 0; i < parts.size(); i += longest_run) {
      const auto begin = parts.begin() + static_cast<std::ptrdiff_t>(i), end = parts.end();
      out.push_back(node(Kind::parity, Operands(begin, begin + std::min(end - begin, static_cast<std::ptrdiff_t>(longest_run)))));
    }
    return out;
  }
  Index node(Kind kind, Operands operands) {
    const auto [at, is_new] = known_.try_emplace({kind, operands}, size() * 2);
    if (is_new) nodes_.push_back({kind, std::move(operands)});
    return at->second;
  }

  Index leaves_;
  std::vector<Node> nodes_;
  std::map<std::pair<Kind, Operands>, Index> known_;
};

// What the verdicts ask for: applies, refers, and of each practice withheld, discouraged, advised, allowed, care.
constexpr std::size_t first_practice = 2, ways_each = 5;
Operands roots_of(const Reading& reading) {
  Operands roots{reading.applies, reading.refers};
  for (const Reading::Ways& w : reading.practices) roots.insert(roots.end(), {w.withheld, w.discouraged, w.advised, w.allowed, w.care});
  return roots;
}

// The gates behind some operands as a net; the operands become the net's.
Net net_of(const Program& program, Operands& roots) {
  const Index leaves = 1 + program.inputs;
  std::vector<bool> asked(program.slots());
  for (const Index o : roots) asked[o / 2] = true;
  for (Index slot = program.slots(); slot-- > leaves;)
    if (asked[slot])
      for (const Index o : program.gates[slot - leaves].operands) asked[o / 2] = true;
  Net net(program.inputs);
  Operands made(program.slots());
  const auto of = [&](Index o) { return made[o / 2] ^ (o & 1u); };
  for (Index slot = 0; slot < program.slots(); ++slot) {
    if (slot < leaves) made[slot] = slot * 2;
    if (slot < leaves || !asked[slot]) continue;
    const Gate& gate = program.gates[slot - leaves];
    Operands parts;
    for (const Index o : gate.operands) parts.push_back(of(o));
    switch (gate.kind) {
      case Gate::Kind::all: made[slot] = net.all(std::move(parts)); break;
      case Gate::Kind::any: made[slot] = net.any(std::move(parts)); break;
      case Gate::Kind::parity: made[slot] = net.parity(parts); break;
      case Gate::Kind::most: made[slot] = net.most(std::move(parts)); break;
    }
  }
  for (Index& o : roots) o = of(o);
  return net;
}

// How often each node is asked for, by nodes that are and by roots.
std::vector<Index> uses_of(const Net& net, const Operands& roots) {
  std::vector<Index> uses(net.size());
  for (const Index o : roots) ++uses[o / 2];
  for (Index node = net.size(); node-- > net.leaves();)
    if (uses[node])
      for (const Index o : net[node].operands) ++uses[o / 2];
  return uses;
}

// "All of" for one "any of" only: a term of it, worked out on the way. "None of" many is better worked out as any of them.
bool is_term(const Net& net, const std::vector<Index>& uses, Index o) {
  const auto& [kind, parts] = net[o / 2];
  if (!(o & 1u) || kind != Net::Kind::any || uses[o / 2] != 1 || parts.size() > longest_run) return false;
  const auto negated = std::count_if(parts.begin(), parts.end(), [](Index part) { return part & 1u; });
  return parts.size() <= 3 || 2 * static_cast<std::size_t>(negated) >= parts.size();
}

// ---------------------------------------------------------------- merging

// Makes a net anew. What only one asks for goes up into it, and parts that many terms have in common are taken out of them.
class Merger {
 public:
  Merger(const Net& from, Operands& roots) : from_(from), uses_(uses_of(from, roots)), to_(from.leaves() - 1), made_(from.size()) {
    for (Index node = 0; node < from.leaves(); ++node) made_[node] = node * 2;
    for (Index node = from.leaves(); node < from.size(); ++node)
      if (uses_[node]) made_[node] = make(from[node]);
    for (Index& o : roots) o = of(o);
  }
  Net take() { return std::move(to_); }

 private:
  using Terms = std::vector<Operands>;  // what is all of it, each
  static constexpr std::size_t worth_it = 4;  // terms: less would save fewer operands than the part in common costs
  static constexpr unsigned deepest = 16;     // parts taken out of terms of which parts were taken out

  Index of(Index o) const { return made_[o / 2] ^ (o & 1u); }

  Index make(const Net::Node& node) {
    Operands parts;
    Terms terms;
    for (const Index o : node.operands) {
      const Index m = of(o);
      const bool sums = node.kind == Net::Kind::any && from_[o / 2].kind == Net::Kind::any && to_[m / 2].kind == Net::Kind::any;
      const bool only_here = sums && uses_[o / 2] == 1;
      if (!only_here) parts.push_back(m);
      else if (m & 1u) terms.push_back(opposites(to_[m / 2].operands));
      else parts.insert(parts.end(), to_[m / 2].operands.begin(), to_[m / 2].operands.end());
    }
    if (node.kind == Net::Kind::parity) return to_.parity(parts);
    if (node.kind == Net::Kind::most) return to_.most(std::move(parts));
    return any_of(std::move(parts), std::move(terms), deepest);
  }
  static Operands opposites(Operands parts) {
    for (Index& o : parts) o ^= 1u;
    std::sort(parts.begin(), parts.end());
    return parts;
  }

  // Of the terms; those are taken first whose part in common stands in the most.
  Index any_of(Operands parts, Terms terms, unsigned depth) {
    if (depth > 0 && terms.size() >= worth_it)
      for (const auto& [part, where] : in_common(terms)) take_out(part, where, terms, parts, depth);
    for (Operands& term : terms)
      if (!term.empty()) parts.push_back(to_.all(std::move(term)));
    return to_.any(std::move(parts));
  }
  // Parts that stand in so many terms that it is worth it, with those terms.
  using Places = std::vector<std::size_t>;
  static std::vector<std::pair<Index, Places>> in_common(const Terms& terms) {
    std::vector<std::pair<Index, std::size_t>> all;
    for (std::size_t t = 0; t < terms.size(); ++t)
      for (const Index part : terms[t]) all.push_back({part, t});
    std::sort(all.begin(), all.end());
    std::vector<std::pair<Index, Places>> found;
    for (std::size_t begin = 0, end = 0; begin < all.size(); begin = end) {
      while (end < all.size() && all[end].first == all[begin].first) ++end;
      if (end - begin < worth_it) continue;
      found.push_back({all[begin].first, {}});
      for (std::size_t i = begin; i < end; ++i) found.back().second.push_back(all[i].second);
    }
    std::stable_sort(found.begin(), found.end(), [](const auto& a, const auto& b) { return a.second.size() > b.second.size(); });
    return found;
  }
  // `part`, and any of what is left of the terms it stands in, becomes one of the parts; those terms become empty.
  void take_out(Index part, Places where, Terms& terms, Operands& parts, unsigned depth) {
    std::erase_if(where, [&](std::size_t t) { return terms[t].empty(); });
    if (where.size() < worth_it) return;
    Operands short_ones;
    Terms rest;
    for (const std::size_t t : where) {
      Operands term = std::exchange(terms[t], {});
      term.erase(std::lower_bound(term.begin(), term.end(), part));
      if (term.size() == 1) short_ones.push_back(term[0]);
      else rest.push_back(std::move(term));
    }
    parts.push_back(to_.all({part, any_of(std::move(short_ones), std::move(rest), depth - 1)}));
  }

  const Net& from_;
  const std::vector<Index> uses_;
  Net to_;
  Operands made_;  // of each node what became of it
};

// ---------------------------------------------------------------- instructions

// What is to be made: a node or its opposite, so an operand.
struct Item {
  enum class How : std::uint8_t { not_asked, leaf, turn, small, odd, most, big };
  How how = How::not_asked;
  std::uint8_t shape = 0;             // small: which
  bool negated = false;               // small, big: the opposite of the sum
  bool made = false;
  Index reads = 0;                    // by instructions still to come
  Index place = 0;                    // in planes
  Index waits = 0;                    // for so many of what it asks for
  std::vector<Index> asked_by;        // of those that wait, as often as they ask
};

// Which operands get a slot, in which order they are made, and in which slots they are.
class Writer {
 public:
  Writer(const Net& net, const Operands& roots, const Reading& reading)
      : net_(net), uses_(uses_of(net, roots)), items_(std::size_t{2} * net.size()), ready_(queues), seen_(items_.size()) {
    items_[yes].place = 1;
    plan(roots);
    write_roots(BlockOp::scope, roots, 0, first_practice);
    for (std::size_t p = 0; p < reading.practices.size(); ++p) {
      const Reading::Ways& ways = reading.practices[p];
      write_roots(BlockOp::ladder, roots, first_practice + p * ways_each, ways_each);
      code_.push_back(static_cast<std::uint32_t>(ways.otherwise) + (ways.otherwise_care ? code_of_care : 0));
    }
    put(BlockOp::end, 0);
  }
  std::vector<std::uint32_t> take() { return std::move(code_); }
  std::size_t slots() const { return slots_; }

 private:
  using How = Item::How;
  using Terms = std::vector<Operands>;

  // ---------------------------------------------------------------- how each is made

  static bool is_constant(Index o) { return o < 2; }
  bool is_leaf(Index o) const { return o / 2 < net_.leaves(); }
  bool is_term(Index o) const { return runtime::is_term(net_, uses_, o); }
  // All of the opposites, rather than any of the operands: where nothing is a term and most operands are negated.
  bool is_product(Index node) const {
    const Operands& parts = net_[node].operands;
    if (net_[node].kind != Net::Kind::any || std::any_of(parts.begin(), parts.end(), [&](Index o) { return is_term(o); })) return false;
    return 2 * static_cast<std::size_t>(std::count_if(parts.begin(), parts.end(), [](Index o) { return o & 1u; })) > parts.size();
  }
  static Operands opposites(Operands parts) {
    for (Index& o : parts) o ^= 1u;
    return parts;
  }
  // A node as it is worked out, any of terms.
  Terms terms_of(Index node) const {
    if (is_product(node)) return {opposites(net_[node].operands)};
    Terms out;
    for (const Index o : net_[node].operands) out.push_back(is_term(o) ? opposites(net_[o / 2].operands) : Operands{o});
    return out;
  }
  // What an item asks for.
  Operands asks(Index o) const {
    if (items_[o].how == How::turn) return {o ^ 1u};
    if (net_[o / 2].kind != Net::Kind::any) return net_[o / 2].operands;
    Operands out;
    for (const Operands& term : terms_of(o / 2)) out.insert(out.end(), term.begin(), term.end());
    return out;
  }

  void plan(const Operands& roots) {
    for (const Index o : roots) ++items_[o].reads;
    for (Index node = net_.size(); node-- > 1;) {
      if (node < net_.leaves()) items_[node * 2].how = items_[node * 2 + 1].how = How::leaf;
      else plan_node(node);
    }
  }
  // One of the two is worked out, the other is its opposite. Sums are as easy to work out negated.
  void plan_node(Index node) {
    const Index natural = node * 2 + is_product(node), other = natural ^ 1u;
    if (items_[natural].reads + items_[other].reads == 0) return;
    const bool is_sum = net_[node].kind == Net::Kind::any;
    const Index first = is_sum && items_[natural].reads == 0 ? other : natural;
    if (items_[first ^ 1u].reads > 0) items_[first ^ 1u].how = How::turn, ++items_[first].reads;
    Item& item = items_[first];
    item.negated = first != natural;
    item.how = is_sum ? How::big : net_[node].kind == Net::Kind::most ? How::most : How::odd;
    if (is_sum) choose_shape(item, terms_of(node));
    for (const Index o : asks(first)) ++items_[o].reads;
  }
  static void choose_shape(Item& item, const Terms& terms) {
    std::size_t width = 0, cost = ~std::size_t{0};
    for (const Operands& term : terms) width = std::max(width, term.size());
    for (std::uint8_t s = 0; s < small_count; ++s) {
      const SmallShape& shape = small_shapes[s];
      if (terms.size() > shape.terms || width > shape.width || shape.terms * shape.width >= cost) continue;
      cost = shape.terms * shape.width;
      item.how = How::small, item.shape = s;
    }
  }

  // ---------------------------------------------------------------- slots

  std::uint32_t place(Index o) const { return items_[o].place * block_words; }
  // What an instruction gives up on the way may be taken for what it makes after that, not for what is fetched before it.
  void take_slot(Index o, bool fetched) {
    std::vector<Index>& from = fetched || given_up_.empty() ? free_ : given_up_;
    if (from.empty()) from.push_back(slots_++);
    items_[o].place = from.back();
    from.pop_back();
  }
  void was_read(Index o) {
    if (!is_constant(o) && --items_[o].reads == 0) given_up_.push_back(items_[o].place);
  }

  // ---------------------------------------------------------------- order

  // Items that are ready wait in queues, each of what may stand in one instruction.
  enum Queue : std::size_t { turns, odds_2, odds_3, mosts, others, smalls, queues = smalls + std::size_t{2} * small_count };
  static constexpr std::size_t longest_queue = 128;  // of things in an instruction; all their inputs are fetched before it
  std::size_t queue_of(Index o) const {
    const Item& item = items_[o];
    if (item.how == How::small) return smalls + item.shape + (item.negated ? small_count : 0);
    if (item.how == How::odd && net_[o / 2].operands.size() <= 3) return net_[o / 2].operands.size() == 2 ? odds_2 : odds_3;
    return item.how == How::turn ? turns : item.how == How::most ? mosts : others;
  }
  static BlockOp op_of(std::size_t queue) {
    static constexpr BlockOp ops[] = {BlockOp::turn, BlockOp::odd_2, BlockOp::odd_3, BlockOp::most};
    return queue < others ? ops[queue] : static_cast<BlockOp>(static_cast<std::size_t>(BlockOp::small) + queue - smalls);
  }

  // Makes what is not there yet of some operands, with all behind it: of what is ready, always the most that one instruction can.
  void make(const Operands& wanted) {
    for (std::size_t left = await(wanted); left > 0;) {
      const auto longest = std::max_element(ready_.begin(), ready_.end(), [](const auto& a, const auto& b) { return a.size() < b.size(); });
      left -= write_queue(static_cast<std::size_t>(longest - ready_.begin()));
    }
  }
  // Finds what is to be made and what waits for what; how many they are.
  std::size_t await(const Operands& wanted) {
    open_ = wanted;
    std::size_t found = 0;
    while (!open_.empty()) {
      const Index o = open_.back();
      open_.pop_back();
      if (is_leaf(o) || items_[o].made || seen_[o]) continue;
      seen_[o] = true, ++found;
      for (const Index asked : asks(o)) {
        if (is_leaf(asked) || items_[asked].made) continue;
        ++items_[o].waits;
        items_[asked].asked_by.push_back(o);
        open_.push_back(asked);
      }
      if (items_[o].waits == 0) ready_[queue_of(o)].push_back(o);
    }
    return found;
  }

  // One instruction with all that is in a queue and what gets into it meanwhile, behind one that fetches inputs.
  std::size_t write_queue(std::size_t queue) {
    std::vector<std::uint32_t> fetched[2];
    std::vector<std::uint32_t> body;
    std::size_t count = 0;
    for (; !ready_[queue].empty() && count < (queue == others ? 1 : longest_queue); ++count) {
      const Index o = ready_[queue].back();
      ready_[queue].pop_back();
      write(o, fetched, body);
    }
    write_fetches(fetched);
    if (queue != others) put(op_of(queue), count);
    code_.insert(code_.end(), body.begin(), body.end());
    end_of_instruction();
    return count;
  }
  void end_of_instruction() {
    free_.insert(free_.end(), given_up_.begin(), given_up_.end());
    given_up_.clear();
  }
  void write(Index o, std::vector<std::uint32_t> (&fetched)[2], std::vector<std::uint32_t>& body) {
    const Operands read = asks(o);
    for (const Index r : read) fetch(r, fetched);
    std::size_t own_place = body.size();  // it is known only when what was read for the last time has given up its own
    if (items_[o].how == How::big) own_place = write_sum(o, body);
    else if (items_[o].how == How::small) write_small(o, body);
    else own_place = write_list(o, read, body);
    for (const Index r : read) was_read(r);
    take_slot(o, false);
    body[own_place] = place(o);
    items_[o].made = true;
    for (const Index waiting : std::exchange(items_[o].asked_by, {}))
      if (--items_[waiting].waits == 0) ready_[queue_of(waiting)].push_back(waiting);
  }
  void fetch(Index o, std::vector<std::uint32_t> (&fetched)[2]) {
    if (is_constant(o) || !is_leaf(o) || items_[o].made) return;
    items_[o].made = true;
    take_slot(o, true);
    fetched[o & 1u].insert(fetched[o & 1u].end(), {(o / 2 - 1) * block_words, place(o)});
  }
  void write_fetches(const std::vector<std::uint32_t> (&fetched)[2]) {
    put_runs(code_, BlockOp::fetch, fetched[0], 2);
    put_runs(code_, BlockOp::fetch_not, fetched[1], 2);
  }

  // ---------------------------------------------------------------- words

  static std::uint32_t head(BlockOp op, std::size_t count) { return static_cast<std::uint32_t>(op) | static_cast<std::uint32_t>(count) << 8; }
  void put(BlockOp op, std::size_t count) { code_.push_back(head(op, count)); }
  // As many instructions as it takes, for things of `each` words.
  static void put_runs(std::vector<std::uint32_t>& out, BlockOp op, const std::vector<std::uint32_t>& words, std::size_t each) {
    for (std::size_t i = 0; i < words.size(); i += longest_run * each) {
      const std::size_t end = std::min(words.size(), i + longest_run * each);
      out.push_back(head(op, (end - i) / each));
      out.insert(out.end(), words.begin() + static_cast<std::ptrdiff_t>(i), words.begin() + static_cast<std::ptrdiff_t>(end));
    }
  }

  // A turn, a parity or a most. A long parity is an instruction of its own. Gives where the place is that it goes to.
  std::size_t write_list(Index o, const Operands& read, std::vector<std::uint32_t>& body) {
    if (queue_of(o) == others) body.push_back(head(BlockOp::odd, read.size()));
    body.push_back(0);
    for (const Index r : read) body.push_back(place(r));
    return body.size() - 1 - read.size();
  }
  // A term that is shorter than the shape has its last place again, a sum its last term.
  void write_small(Index o, std::vector<std::uint32_t>& body) {
    const SmallShape& shape = small_shapes[items_[o].shape];
    const Terms terms = terms_of(o / 2);
    body.push_back(0);
    for (std::size_t t = 0; t < shape.terms; ++t) {
      const Operands& term = terms[std::min(t, terms.size() - 1)];
      for (std::size_t i = 0; i < shape.width; ++i) body.push_back(place(term[std::min(i, term.size() - 1)]));
    }
  }
  // Into `sum`, the terms of a size together. Gives where in the words the place is that it goes to.
  std::size_t write_sum(Index o, std::vector<std::uint32_t>& body) {
    std::vector<std::uint32_t> sized[4];  // by the terms' size; 0 for greater ones
    for (const Operands& term : terms_of(o / 2)) {
      std::vector<std::uint32_t>& words = sized[term.size() > 3 ? 0 : term.size()];
      if (term.size() > 3) words.push_back(head(BlockOp::term, term.size()));
      for (const Index part : term) words.push_back(place(part));
    }
    if (sized[1].size() % 2) sized[1].push_back(sized[1].back());
    put_runs(body, BlockOp::any, sized[1], 1);
    put_runs(body, BlockOp::pairs, sized[2], 2);
    put_runs(body, BlockOp::triples, sized[3], 3);
    body.insert(body.end(), sized[0].begin(), sized[0].end());
    body.insert(body.end(), {head(items_[o].negated ? BlockOp::keep_not : BlockOp::keep, 1), 0});
    return body.size() - 1;
  }

  // Some roots, behind an instruction's head.
  void write_roots(BlockOp op, const Operands& roots, std::size_t begin, std::size_t count) {
    const Operands wanted(roots.begin() + static_cast<std::ptrdiff_t>(begin), roots.begin() + static_cast<std::ptrdiff_t>(begin + count));
    make(wanted);
    std::vector<std::uint32_t> fetched[2];
    for (const Index o : wanted) fetch(o, fetched);
    write_fetches(fetched);
    put(op, 1);
    for (const Index o : wanted) code_.push_back(place(o));
    for (const Index o : wanted) was_read(o);
    end_of_instruction();
  }

  const Net& net_;
  const std::vector<Index> uses_;
  std::vector<Item> items_;               // of each operand
  std::vector<std::vector<Index>> ready_; // by queue
  std::vector<bool> seen_;
  std::vector<Index> open_;
  std::vector<Index> free_, given_up_;    // slots; the one given up last is taken first: it is the nearest
  Index slots_ = 2;                       // the first two are `no` and `yes`
  std::vector<std::uint32_t> code_;
};

std::pair<const BlockPath*, BlockWeigher::Path> path_for(BlockWeigher::Path wanted) {
  using Path = BlockWeigher::Path;
  if (wanted == Path::best || wanted == Path::avx512)
    if (const BlockPath* path = avx512_path()) return {path, Path::avx512};
  if (wanted != Path::plain)
    if (const BlockPath* path = avx2_path()) return {path, Path::avx2};
  return {plain_path(), Path::plain};
}

// ---------------------------------------------------------------- print

class Printer {
 public:
  explicit Printer(const std::vector<std::uint32_t>& code) : code_(code) {}

  std::string print() {
    while (op() != BlockOp::end) line();
    return std::move(out_);
  }

 private:
  BlockOp op() const { return static_cast<BlockOp>(code_[at_] & 255u); }

  void line() {
    static const char* const names[] = {"end", "fetch",   "fetch not", "turn", "odd 2", "odd 3",    "most",  "odd",
                                        "any", "pairs", "triples",   "term", "keep",  "keep not", "scope", "ladder"};
    const BlockOp what = op();
    if (what < BlockOp::small) {
      out_ += names[static_cast<std::size_t>(what)];
    } else {
      const SmallShape& s = shape();
      out_ += std::to_string(s.terms) + " of " + std::to_string(s.width) + (what < BlockOp::small_not ? "" : " not");
    }
    const std::size_t count = code_[at_] >> 8, each = words_each();
    for (std::size_t i = 0; i < count * each; ++i) put_word(what, i, each, code_[at_ + 1 + i]);
    if (what == BlockOp::odd) put_word(what, 1, 1, code_[at_ + 1 + count]);
    out_ += '\n';
    at_ += 1 + count * each + (what == BlockOp::odd);
  }
  const SmallShape& shape() const {
    return small_shapes[(static_cast<std::uint32_t>(op()) - static_cast<std::uint32_t>(BlockOp::small)) % small_count];
  }
  std::size_t words_each() const {
    static constexpr std::uint8_t each[] = {0, 2, 2, 2, 3, 4, 4, 1, 1, 2, 3, 1, 1, 1, 2, 6};
    return op() < BlockOp::small ? each[static_cast<std::size_t>(op())] : 1 + shape().terms * shape().width;
  }
  void put_word(BlockOp what, std::size_t i, std::size_t each, std::uint32_t word) {
    out_ += i > 0 && i % each == 0 && each > 1 ? ", " : " ";
    if (what == BlockOp::ladder && i == 5) out_ += "otherwise " + std::to_string(word);
    else out_ += std::to_string(word / block_words);
  }

  const std::vector<std::uint32_t>& code_;
  std::size_t at_ = 0;
  std::string out_;
};

}  // namespace

// ---------------------------------------------------------------- the weigher

BlockWeigher::BlockWeigher(const Pack& pack, Index reading, Path path) : practices_(pack.readings[reading].practices.size()) {
  Operands roots = roots_of(pack.readings[reading]);
  const Net gates = net_of(pack.program, roots);
  const Net net = Merger(gates, roots).take();
  Writer writer(net, roots, pack.readings[reading]);
  slots_ = writer.slots();
  code_ = writer.take();
  std::tie(run_, path_) = path_for(path);
}

// The planes of all practices, in the scratch behind the slots.
std::uint64_t* BlockWeigher::run(const Block& block, Scratch& scratch) const {
  const std::size_t planes = slots_ + practices_ * planes_each;
  if (scratch.planes_.size() < planes) scratch.planes_.resize(planes);
  std::uint64_t* const slots = scratch.planes_[0].words;
  std::fill_n(slots, block_words, std::uint64_t{0});
  std::fill_n(slots + block_words, block_words, ~std::uint64_t{0});
  run_->run(code_.data(), block.planes.data(), slots, slots + slots_ * block_words);
  return slots + slots_ * block_words;
}

void BlockWeigher::weigh(const Block& block, Scratch& scratch, std::uint8_t* codes) const {
  if (block.persons == 0) return;
  const std::uint64_t* planes = run(block, scratch);
  const unsigned words = (block.persons + 63) / 64;
  for (std::size_t p = 0; p < practices_; ++p) run_->spread(planes + p * planes_each * block_words, words, codes + p * block_persons);
}

void BlockWeigher::weigh_planes(const Block& block, Scratch& scratch, std::uint64_t* planes) const {
  const std::size_t words = practices_ * planes_each * block_words;
  if (block.persons == 0) {
    std::fill_n(planes, words, std::uint64_t{0});
    return;
  }
  std::copy_n(run(block, scratch), words, planes);
  for (unsigned w = block.persons / 64; w < block_words; ++w) {
    const std::uint64_t there = w * 64 < block.persons ? (std::uint64_t{1} << (block.persons % 64)) - 1 : 0;
    for (std::size_t i = w; i < words; i += block_words) planes[i] &= there;
  }
}

std::string BlockWeigher::listing() const { return "slots " + std::to_string(slots_) + "\n" + Printer(code_).print(); }

}  // namespace betony::runtime
