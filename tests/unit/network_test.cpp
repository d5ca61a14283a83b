#include "compiler/network.h"

#include <catch2/catch.hpp>

using namespace betony;

TEST_CASE("bounds that cannot be kept are named around their circle, and only those") {
  Network network(4);
  network.bound(0, 1, {10, 0});
  network.bound(0, 3, {99, 0});
  network.bound(1, 2, {-5, 0});
  network.bound(2, 0, {-6, 0});
  CHECK(network.contradiction().size() == 3);
  Network kept(3);
  kept.bound(0, 1, {10, 0});
  kept.bound(1, 2, {-5, 0});
  kept.bound(2, 0, {-5, 0});
  CHECK(kept.contradiction().empty());
}

TEST_CASE("less than is told apart from at most") {
  Network network(2);
  network.bound(0, 1, {0, 0});
  network.bound(1, 0, {0, 1});
  CHECK(network.contradiction().size() == 2);
  CHECK(Distance{5, 1} < Distance{5, 0});
  CHECK_FALSE(Distance{5, 0} < Distance{5, 1});
}

TEST_CASE("a bound of a point on itself") {
  Network network(1);
  network.bound(0, 0, {0, 1});
  CHECK(network.contradiction() == std::vector<Index>{0});
}
