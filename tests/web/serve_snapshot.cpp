// SPDX-License-Identifier: Apache-2.0
// serve_snapshot FILE: serves the page with the snapshot in FILE, prints the base URL, and ends when its
// standard input does. "quiet" on standard input ends the server but not the program, so that a test sees the
// page lose its stream. For tests/page.
#include <fstream>
#include <iostream>
#include <iterator>
#include <memory>

#include "tests/web/fake_bench.h"

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "usage: serve_snapshot FILE\n";
    return 64;
  }
  std::ifstream file(argv[1]);
  if (!file) {
    std::cerr << "serve_snapshot: can't read " << argv[1] << "\n";
    return 66;
  }
  auto bench = std::make_unique<leadwright::FakeBench>();
  bench->web().publish(std::string(std::istreambuf_iterator<char>(file), {}));
  std::cout << bench->web().url() << std::endl;
  for (std::string line; std::getline(std::cin, line);) {
    if (line == "quiet") bench.reset();
  }
  return 0;
}
