// tests/bench/files.h: what benchmarks read from the source tree.
#pragma once

#include <fstream>
#include <iterator>
#include <optional>
#include <string>

namespace betony::bench {

inline std::optional<std::string> text_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return std::nullopt;
  return std::string(std::istreambuf_iterator<char>(in), {});
}

}  // namespace betony::bench
