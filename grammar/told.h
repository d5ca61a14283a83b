// grammar/told.h: the messages gathered while a ruleset is read.
#pragma once

#include <algorithm>
#include <string>
#include <tuple>
#include <vector>

#include "grammar/book.h"
#include "grammar/message.h"

namespace betony {

// Keeps as many as may be told one by one, and counts the rest. Working a message out costs more than
// counting one: ask `full` before.
class Told {
 public:
  // What is said of a table's sentences is told of the table, as `book` has it.
  Told(std::size_t most, const Book& book) : most_(most), book_(book) {}

  bool full() const { return messages_.size() >= most_; }
  bool none() const { return messages_.empty() && more_ == 0; }
  void count_one() { ++more_; }
  void add(Message message) {
    if (full()) return count_one();
    const SourceFile& file = book_.file(message.where.file);
    messages_.push_back(as_given(file, std::move(message)));
  }
  // Of a table as given.
  void add_given(Message message) {
    if (full()) return count_one();
    messages_.push_back(std::move(message));
  }

  // In source order, each once; the last one tells how many more there are.
  std::vector<Message> in_order() {
    const auto place = [](const Message& m) { return std::tuple(m.where.file, m.where.span.begin); };
    std::stable_sort(messages_.begin(), messages_.end(),
                     [&](const Message& a, const Message& b) { return place(a) < place(b); });
    messages_.erase(std::unique(messages_.begin(), messages_.end(),
                                [](const Message& a, const Message& b) { return a.where == b.where && a.message == b.message; }),
                    messages_.end());
    if (more_ != 0) {
      const Place last = messages_.empty() ? Place{} : messages_.back().where;
      const std::string places = more_ == 1 ? "1 more place needs" : std::to_string(more_) + " more places need";
      messages_.push_back({"and more", last, places + " mending; they are told when these are mended.", ""});
    }
    return std::move(messages_);
  }

 private:
  std::size_t most_;
  const Book& book_;
  std::size_t more_ = 0;
  std::vector<Message> messages_;
};

}  // namespace betony
