#include "commands/program.h"

int main(int argc, char** argv) { return boardlore::run_program(argc, argv); }
