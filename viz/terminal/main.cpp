#include "viz/terminal/terminal.h"

#ifdef BETONY_MIMALLOC
#include <mimalloc.h>
#endif

int main(int argc, char** argv) {
#ifdef BETONY_MIMALLOC
  mi_option_enable(mi_option_large_os_pages);  // where the system has them: a great ruleset is read in two thirds of the time
#endif
  return betony::terminal::run(argc, argv);
}
