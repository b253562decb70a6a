# SPDX-License-Identifier: Apache-2.0
# cmake -DOUT=FILE.cpp -DFILES=a,b -P embed.cmake: each file as a function that returns its bytes.
string(REPLACE "," ";" files "${FILES}")
set(code "// Made by embed.cmake.\n")
string(APPEND code "#include \"daemon/web/page_bytes.h\"\n\nnamespace leadwright::page_bytes {\n")
foreach(file ${files})
  get_filename_component(name ${file} NAME)
  string(MAKE_C_IDENTIFIER ${name} name)
  file(READ ${file} hex HEX)
  string(REGEX REPLACE "(..)" "'\\\\x\\1'," bytes "${hex}")
  string(APPEND code "\nstatic const char ${name}_bytes[] = {${bytes}};\n"
                     "std::string_view ${name}() { return {${name}_bytes, sizeof ${name}_bytes}; }\n")
endforeach()
file(WRITE ${OUT} "${code}\n}  // namespace leadwright::page_bytes\n")
