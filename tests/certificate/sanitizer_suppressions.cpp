// SPDX-License-Identifier: Apache-2.0
// What the sanitizers can't follow in the libraries that draw. fontconfig keeps its pointers as offsets, so
// that its one table of fonts looks lost at the end of a program; a thousand pages take no more memory than
// ten. pango reads that table on a thread of its own and hands it over by futex, which is no lock to a thread
// sanitizer.
extern "C" {

const char* __lsan_default_suppressions();  // NOLINT(bugprone-reserved-identifier): named by the sanitizer
const char* __tsan_default_suppressions();  // NOLINT(bugprone-reserved-identifier): named by the sanitizer

const char* __lsan_default_suppressions() {  // NOLINT(bugprone-reserved-identifier)
  return "leak:libfontconfig.so\n";
}

const char* __tsan_default_suppressions() {  // NOLINT(bugprone-reserved-identifier)
  return "called_from_lib:libfontconfig.so\n"
         "called_from_lib:libglib-2.0.so\n"
         "called_from_lib:libgobject-2.0.so\n"
         "called_from_lib:libpango-1.0.so\n"
         "called_from_lib:libpangoft2-1.0.so\n"
         "called_from_lib:libpangocairo-1.0.so\n"
         "called_from_lib:libharfbuzz.so\n"
         "called_from_lib:libfreetype.so\n"
         "called_from_lib:libcairo.so\n";
}
}
