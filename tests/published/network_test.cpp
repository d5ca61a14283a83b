// Published check: a simple temporal network. Dechter, Meiri, Pearl, Temporal constraint networks, Artificial
// Intelligence 49 (1991) 61-95: story and matrix from memory, matrix recomputed.
#include "compiler/network.h"

#include <catch2/catch.hpp>

using namespace betony;

namespace {

// Minutes after 7:00: John leaves home (1), arrives (2); Fred leaves (3), arrives (4).
Network story() {
  Network network(5);
  const auto between = [&](Index from, Index to, long least, long most) {
    network.bound(from, to, {most, 0});
    network.bound(to, from, {-least, 0});
  };
  between(0, 1, 10, 20);
  between(1, 2, 30, 40);
  between(3, 2, 10, 20);
  between(3, 4, 40, 50);
  between(0, 4, 60, 70);
  return network;
}

}  // namespace

TEST_CASE("temporal network: the published matrix of shortest paths, and no contradiction") {
  const Network network = story();
  CHECK(network.contradiction().empty());
  const long published[5][5] = {
      {0, 20, 50, 30, 70}, {-10, 0, 40, 20, 60}, {-40, -30, 0, -10, 30}, {-20, -10, 20, 0, 50}, {-60, -50, -20, -40, 0}};
  const auto distances = network.distances();
  for (int i = 0; i < 5; ++i)
    for (int j = 0; j < 5; ++j) {
      INFO(i << " to " << j);
      CHECK(distances[i][j].value() == Distance{published[i][j], 0});
    }
}

TEST_CASE("temporal network: the earliest and the latest day both keep every bound, and a day in between can fail") {
  const Network network = story();
  const auto kept = [&](const std::vector<long>& at) {
    for (const Network::Bound& b : network.bounds())
      if (b.most < Distance{at[b.to] - at[b.from], 0}) return false;
    return true;
  };
  CHECK(kept({0, 10, 40, 20, 60}));
  CHECK(kept({0, 20, 50, 30, 70}));
  CHECK_FALSE(kept({0, 10, 50, 20, 60}));
}

TEST_CASE("temporal network: Fred, told to arrive ten minutes sooner than he can, is a contradiction") {
  Network network = story();
  network.bound(0, 4, {59, 0});
  CHECK_FALSE(network.contradiction().empty());
}
