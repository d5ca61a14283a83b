// check_seal PACK KEY.public: whether a pack is sealed with the secret half of a key.
#include <betony/seal.h>
#include <fstream>
#include <iostream>
#include <iterator>

int main(int count, char** words) {
  if (count != 3) return 3;
  std::ifstream file(words[1], std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(file), {}};
  const auto wanted = betony::seal::read_public_key(words[2]);
  if (!wanted.key) return std::cout << wanted.wrong << '\n', 3;
  const auto told = betony::seal::examine({reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size()});
  if (told.state == betony::seal::State::unsealed) return std::cout << "not sealed\n", 1;
  if (told.state != betony::seal::State::sealed) return std::cout << told.wrong << '\n', 1;
  std::cout << "sealed by " << betony::seal::words_of(told.by) << '\n';
  return told.by == *wanted.key ? 0 : 1;
}
