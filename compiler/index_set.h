// compiler/index_set.h: a set of indices as one ascending row.
//
// For sets that are put together mostly in order, copied and walked: std::set without a node for each.
//
// Cost      O(log size) to look up; to insert O(1) past the last, else O(those that are greater); 4 bytes each.
#pragma once

#include <algorithm>
#include <initializer_list>
#include <utility>
#include <vector>

#include "compiler/ruleset.h"

namespace betony {

class IndexSet {
 public:
  using iterator = std::vector<Index>::const_iterator;
  using const_iterator = iterator;

  IndexSet() = default;
  IndexSet(std::initializer_list<Index> list) { insert(list.begin(), list.end()); }

  // Where it is, and whether it is new there.
  std::pair<iterator, bool> insert(Index index) {
    if (row_.empty() || row_.back() < index) {
      row_.push_back(index);
      return {row_.end() - 1, true};
    }
    const auto at = std::lower_bound(row_.begin(), row_.end(), index);
    if (*at == index) return {at, false};
    return {row_.insert(at, index), true};
  }
  template <class Iterator>
  void insert(Iterator first, Iterator last) {
    for (; first != last; ++first) insert(*first);
  }
  template <class Unwanted>
  void erase_if(const Unwanted& unwanted) { std::erase_if(row_, unwanted); }

  bool contains(Index index) const { return std::binary_search(row_.begin(), row_.end(), index); }
  bool empty() const { return row_.empty(); }
  std::size_t size() const { return row_.size(); }
  iterator begin() const { return row_.begin(); }
  iterator end() const { return row_.end(); }
  Index back() const { return row_.back(); }
  bool operator==(const IndexSet&) const = default;

 private:
  std::vector<Index> row_;
};

}  // namespace betony
