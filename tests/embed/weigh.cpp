// weigh PACK FINDING VALUE ...: the verdicts of one person, from C++.
#include <betony.hpp>
#include <fstream>
#include <iostream>
#include <iterator>

int main(int count, char** words) {
  std::ifstream file(words[1], std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(file), {}};
  const auto loaded = betony::embedded::Pack::load({reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size()});
  if (!loaded.pack) return std::cout << loaded.why << '\n', 2;
  auto person = loaded.pack->person();
  for (int i = 2; i + 1 < count; i += 2)
    if (!person.tell(words[i], words[i + 1])) return std::cout << person.why() << '\n', 1;
  const auto told = person.weigh();
  std::cout << loaded.pack->caution() << '\n';
  for (std::size_t p = 0; p < loaded.pack->practices(); ++p)
    std::cout << loaded.pack->practice(p) << ": " << betony_verdict_word(told->verdict(p)) << '\n';
}
