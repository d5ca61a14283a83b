// tests/property/gauntlet.h: all rulesets of a tiny grammar, judged one by one.
#pragma once

#include <catch2/catch.hpp>

#include <functional>
#include <iostream>

#include "tests/property/build.h"
#include "tests/property/compare.h"

namespace betony::referee {

// Judges rulesets one by one, counts them, and stops at the third that differs.
class Gauntlet {
 public:
  explicit Gauntlet(std::string name) : name_(std::move(name)) {}
  ~Gauntlet() {
    std::cout << name_ << ": " << rulesets_ << " rulesets, " << profiles_ << " verdicts of profiles, " << problems_ << " problems\n";
  }
  void run(const Model& model) {
    const Judgement judgement = judge(model);
    ++rulesets_;
    profiles_ += judgement.profiles;
    problems_ += judgement.problems;
    if (judgement.differences.empty()) return;
    INFO(report(model, judgement));
    if (++failed_ == 3) FAIL("three of these rulesets differ; no more are tried");
    CHECK(judgement.differences.empty());
  }
  std::size_t rulesets() const { return rulesets_; }

 private:
  std::string name_;
  std::size_t rulesets_ = 0, profiles_ = 0, problems_ = 0;
  int failed_ = 0;
};

// Every choice of at most `most` of the sentences, the same one twice and three times too; order tells nothing new.
inline void each_selection(const std::vector<Sentence>& sentences, int most, const std::function<void(const std::vector<Sentence>&)>& visit) {
  std::vector<Sentence> chosen;
  const std::function<void(std::size_t, int)> go = [&](std::size_t from, int left) {
    visit(chosen);
    for (std::size_t i = from; left > 0 && i < sentences.size(); ++i) {
      chosen.push_back(sentences[i]);
      go(i, left - 1);
      chosen.pop_back();
    }
  };
  go(0, most);
}

// The given sentences, of one practice and three questions.
inline Model tiny(std::vector<Sentence> sentences) {
  Model m;
  m.findings = {yes_no("fever"), yes_no("salt thirst"), words(Finding::Kind::grade, "pain", {"none", "mild", "strong"})};
  m.findings[2].usual_word = 0;
  m.practices = {{"cold plunge", ""}};
  m.sentences = std::move(sentences);
  return m;
}

}  // namespace betony::referee
