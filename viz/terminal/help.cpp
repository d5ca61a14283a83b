#include <CLI/CLI.hpp>

#include "viz/terminal/page.h"
#include "viz/terminal/verb.h"

namespace betony::terminal {
namespace {

constexpr unsigned text_column = 18;

// "--budget NODES,STEPS", "FILE"
std::string words(const CLI::Option& option) {
  if (option.nonpositional() && option.get_items_expected_max() > 0)
    return option.get_name(false, true) + " " + option.get_type_name();
  return option.nonpositional() ? option.get_name(false, true) : option.get_name(true);
}

void set_option(Page& page, const std::string& label, const std::string& text) {
  if (label.size() + 4 <= text_column) {
    page.hung(label, text, text_column);
    return;
  }
  page.paragraph(label, 2);
  page.hung("", text, text_column);
}

void set_examples(Page& page, const std::vector<std::string>& examples) {
  page.blank();
  page.paragraph(examples.size() == 1 ? "Example" : "Examples");
  page.blank();
  for (const auto& example : examples) page.paragraph(example, 2);
}

}  // namespace

std::string program_help(unsigned width) {
  Page page({width, false});
  page.paragraph("betony VERB FILE");
  page.blank();
  page.paragraph(
      "A workbench in which the teaching of a school of daily regimen is written down as rules: it shows where the "
      "teaching contradicts itself or falls silent, with a person on whom it shows.");
  page.blank();
  for (const auto& verb : verbs()) page.hung(verb.name, verb.does, text_column);
  page.blank();
  page.hung("--version", "tells the version", text_column);
  page.hung("--help", "this page; betony VERB --help tells of one verb", text_column);
  set_examples(page, {verbs().front().examples.front()});
  page.blank();
  page.paragraph(
      "Exit status: 0 nothing worse than a note; 1 the answer is no; 2 the source cannot be read; 3 wrong usage, a "
      "missing file, a full disk.");
  return page.text();
}

std::string verb_help(const VerbEntry& verb, const CLI::App& app, unsigned width) {
  Page page({width, false});
  page.paragraph("betony " + verb.name + " FILE");
  page.blank();
  page.paragraph(verb.about);
  page.blank();
  for (const CLI::Option* option : app.get_options()) set_option(page, words(*option), option->get_description());
  set_examples(page, verb.examples);
  return page.text();
}

}  // namespace betony::terminal
