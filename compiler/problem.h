// compiler/problem.h: what the checks say: kinds, forms, severities, witness, region, share.
#pragma once

#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "compiler/ruleset.h"

namespace betony {

enum class Severity { error, question, note };

// How much of R (the profiles the background and `Applies to` allow and on which no `Refer` fires) a
// region is. exact: low == high == the share. An exact 0 is still possible ("only at exactly 60").
struct Share {
  bool exact = true;
  Rational low, high;
};

// Words of a source to underline.
struct Mark {
  Place place;
};

// A sentence concerned: a typed sentence, a declaration, a claim, a profile.
struct Concerned {
  Index tree_sentence = no_index;  // into Ruleset::tree.sentences
  Place place;                     // the words of the sentence (of an `In …:` item, the item)
  std::string label;               // or empty
  std::string text;                // as written, white space folded
  std::vector<Mark> marks;         // parts to underline; empty: all of it
};

struct Problem {
  Problem() = default;
  Problem(const Problem&) = default;
  Problem& operator=(const Problem&) = default;
  // A number of GMP's leaves an empty one behind, and ends the program where there is no memory for that: nothing is
  // thrown, and a growing list of problems need not copy them.
  Problem(Problem&&) noexcept = default;
  Problem& operator=(Problem&&) noexcept = default;

  std::string kind;      // "contradiction", "silence", ... as in LANGUAGE.md, "The checks"
  std::string form;      // "head-on", "crossing", ... or empty
  Severity severity = Severity::error;
  std::string practice;  // name or empty
  std::string choice;    // name or empty
  std::string school;    // the school that was read alone, or empty
  std::string finding;   // unused, unasked: the name concerned
  std::vector<Concerned> sentences;
  std::vector<std::pair<unsigned, unsigned>> pairs;  // indices into sentences: who meets whom
  std::uint64_t more_pairs = 0;                      // so many more at least meet likewise, and are not told
  Share share;
  bool has_share = false;             // unused, uncited and unasked have none
  std::vector<std::string> region;    // boxes in words; their union is the region (or "and N further")
  std::shared_ptr<const Profile> witness;  // complete, or none; copies of a problem share it
  std::shared_ptr<const Profile> second;   // of a trend that has a witness: who differs from it in one answer, and comes to what is never so
  bool no_fraction = false;           // there is no witness, since only numbers that are no fractions show it (x * x is 2)
  bool nobody = false;                  // no person is possible, or none is whom the ruleset is about: nothing else was looked at
  std::vector<Index> witness_findings;  // those worth showing: what the region or the verdict depends on
  // For people: a heading, sentences that explain, the verdict on the witness, what to write instead.
  std::string matter;                 // "two sentences cross"
  std::string sense;                  // "Both speak for persons of 18 to 74, weak today: 19 in 999 of all possible persons (near 2 in 100)."
  std::string replay;                 // "cold plunge is withheld"; empty without a witness
  tree::Verdict replay_verdict = tree::Verdict::silent;  // for its mark
  bool has_replay_verdict = false;
  std::vector<std::string> write;     // remedies, best first
};

// Two sources whose sentences speak against each other: an indication of one and a ban of the other for the same persons of R,
// read without a school. A place is one such pair of sentences of one practice.
struct SourcesDisagree {
  struct Side {
    Index source = no_index;   // into Ruleset::sources
    std::size_t places = 0;    // those in which somebody is told what this source's sentence says
    Share share;               // of persons of whom that is so
  };
  Side first, second;          // in the order of their declarations
  std::size_t places = 0;
  Share share;                 // of persons of whom they speak so
  std::string sense, prevails;  // for people
};

}  // namespace betony
