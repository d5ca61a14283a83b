#include "viz/terminal/terminal.h"

int main(int argc, char** argv) { return betony::terminal::run(argc, argv); }
