// viz/terminal/weigh_page.h: what one person is told, on a page of 80 columns and as JSON.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "runtime/weigh.h"
#include "viz/terminal/page.h"

namespace betony::terminal {

struct Weighed {
  const runtime::Pack& pack;
  const runtime::Answers& answers;
  runtime::Index reading;
  const runtime::Weighing& weighing;
};

// The caution before all else; a red flag alone where one fires; then the practices, those that need thought first.
std::string weigh_page(const Weighed& weighed, const Surface& surface);

// {"betony":1,"caution":…,"refer":[texts],"practices":{name:{"verdict","with_care","cautions","because":[{"text","label","citations","file","line"}],
// "defeated":[…],"possible":[{"verdict","with_care"}],"dose":{"amounts":[{"low","high","unit"}],"often","long","words"}|null}},
// "choices":{name:{"fits":[…],"possible":[…]}}}; "with_care" is null where it says nothing or is open. Numbers are JSON numbers where that
// is exact, else "n/d".
std::string weigh_json(const Weighed& weighed, bool ascii);
// The object itself.
nlohmann::ordered_json weigh_object(const Weighed& weighed);

// "withheld", as JSON and tables have it.
const char* verdict_word(runtime::Verdict verdict);

}  // namespace betony::terminal
