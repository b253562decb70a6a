# SPDX-License-Identifier: Apache-2.0
# cmake -DOUT=FILE.cpp -DSCRATCH=FOLDER -DFILES=a,b -P embed.cmake: the table of page_bytes.h.
string(REPLACE "," ";" files "${FILES}")
file(MAKE_DIRECTORY ${SCRATCH})
set(arrays "")
set(rows "")

function(append_array name hex)
  string(REGEX REPLACE "(..)" "'\\\\x\\1'," bytes "${hex}")
  set(arrays "${arrays}const char ${name}[] = {${bytes}};\n" PARENT_SCOPE)
endfunction()

foreach(file ${files})
  get_filename_component(name ${file} NAME)
  string(MAKE_C_IDENTIFIER ${name} symbol)
  file(READ ${file} hex HEX)
  append_array(${symbol} "${hex}")
  file(ARCHIVE_CREATE OUTPUT ${SCRATCH}/${name}.gz PATHS ${file} FORMAT raw COMPRESSION GZip
       COMPRESSION_LEVEL 9)
  file(READ ${SCRATCH}/${name}.gz hex HEX)
  # Bytes 4 to 7 are the time of packing (RFC 1952, 2.3), which would make every build another one.
  string(SUBSTRING "${hex}" 0 8 head)
  string(SUBSTRING "${hex}" 16 -1 rest)
  set(hex "${head}00000000${rest}")
  append_array(${symbol}_gzip "${hex}")
  string(APPEND rows "    {\"${name}\", {${symbol}, sizeof ${symbol}},\n"
                     "     {${symbol}_gzip, sizeof ${symbol}_gzip}},\n")
endforeach()
file(WRITE ${OUT} "// Made by embed.cmake.
#include \"daemon/web/page_bytes.h\"

namespace leadwright {
namespace {

${arrays}
const PageFile all[] = {
${rows}};

}  // namespace

std::span<const PageFile> page_files() { return all; }

}  // namespace leadwright
")
