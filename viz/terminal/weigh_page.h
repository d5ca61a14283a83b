// viz/terminal/weigh_page.h: what one person is told, on a page of 80 columns and as JSON.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "runtime/change.h"
#include "runtime/question.h"
#include "runtime/weigh.h"
#include "viz/terminal/packs.h"
#include "viz/terminal/page.h"

namespace betony::terminal {

// All that can be said of one person. Pack and answers are borrowed.
struct Weighed {
  Weighed(const runtime::Pack& pack, const runtime::Answers& answers, runtime::Index reading, SealTold seal = {});
  const runtime::Pack& pack;
  const runtime::Answers& answers;
  const runtime::Index reading;
  const runtime::Weighing weighing;
  const std::optional<runtime::NextQuestion> next;
  std::vector<std::optional<runtime::Change>> changes;   // of each practice
  const SealTold seal;
};

// "fever", "not fever", "age 34 years".
std::string answer_words(const runtime::Finding& finding, const runtime::Value& value);
// As it is put to a person; of an item of several the question that they share: "What troubles the person most: cold feet?".
std::string question_words(const runtime::Finding& finding);
// What can be answered: "yes or no", "none, mild, severe", "0 to 110 years".
std::string choice_words(const runtime::Finding& finding);

// The caution before all else; a red flag alone where one fires; then the practices, those that need thought first.
std::string weigh_page(const Weighed& weighed, const Surface& surface);
// Its two parts: the title, whose seal, the caution; and what is told.
std::string opening_page(const runtime::Pack& pack, runtime::Index reading, const SealTold& seal, const Surface& surface);
std::string told_page(const Weighed& weighed, const Surface& surface);

// {"betony":1,"caution":…,"possible":…,"refer":[texts],"next":finding|null,"practices":{name:{"verdict","with_care","cautions","because":[{"text","label","citations","file","line"}],
// "defeated":[…],"possible":[{"verdict","with_care"}],"dose":{"amounts":[{"low","high","unit"}],"often","long","words"}|null,
// "change":{"findings":{name:value},"verdict"}|null}},
// "choices":{name:{"fits":[…],"possible":[…]}}}, and of a pack "seal":{"by"}|null; "with_care" is null where it says nothing or is open.
// Numbers are JSON numbers where that is exact, else "n/d".
std::string weigh_json(const Weighed& weighed, bool ascii);
// The object itself.
nlohmann::ordered_json weigh_object(const Weighed& weighed);

// "withheld", as JSON and tables have it.
const char* verdict_word(runtime::Verdict verdict);

// What was told, as `weigh` reads it: {"age":34,"fever":"no"}.
std::string profile_json(const runtime::Pack& pack, const runtime::Answers& answers);

}  // namespace betony::terminal
