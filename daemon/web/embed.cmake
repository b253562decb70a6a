# SPDX-License-Identifier: Apache-2.0
# cmake -DOUT=FILE.cpp -DSCRATCH=FOLDER -DPAGE=a,b -DAPI=c,d -P embed.cmake: the tables of page_bytes.h.
file(MAKE_DIRECTORY ${SCRATCH})
set(arrays "")

function(append_array name hex)
  string(REGEX REPLACE "(..)" "'\\\\x\\1'," bytes "${hex}")
  set(arrays "${arrays}const char ${name}[] = {${bytes}};\n" PARENT_SCOPE)
endfunction()

# Lines that are a comment, and indentation, are for whoever reads the source: a script is sent without them.
# Gives the file to send.
function(without_comments file name to)
  set(${to} ${file} PARENT_SCOPE)
  if(NOT name MATCHES "\\.js$")
    return()
  endif()
  file(READ ${file} text)
  string(REGEX REPLACE "\n *//[^\n]*" "" text "\n${text}")
  string(REGEX REPLACE "\n +" "\n" text "${text}")
  string(SUBSTRING "${text}" 1 -1 text)
  file(WRITE ${SCRATCH}/${name} "${text}")
  set(${to} ${SCRATCH}/${name} PARENT_SCOPE)
endfunction()

# append_table(NAME files): the rows of a table, and the bytes that they point to.
macro(append_table table files)
  set(${table}_rows "")
  foreach(file ${files})
    get_filename_component(name ${file} NAME)
    string(MAKE_C_IDENTIFIER ${name} symbol)
    without_comments(${file} ${name} sent)
    file(READ ${sent} hex HEX)
    append_array(${symbol} "${hex}")
    file(ARCHIVE_CREATE OUTPUT ${SCRATCH}/${name}.gz PATHS ${sent} FORMAT raw COMPRESSION GZip
         COMPRESSION_LEVEL 9)
    file(READ ${SCRATCH}/${name}.gz hex HEX)
    # Bytes 4 to 7 are the time of packing (RFC 1952, 2.3), which would make every build another one.
    string(SUBSTRING "${hex}" 0 8 head)
    string(SUBSTRING "${hex}" 16 -1 rest)
    append_array(${symbol}_gzip "${head}00000000${rest}")
    string(APPEND ${table}_rows "    {\"${name}\", {${symbol}, sizeof ${symbol}},\n"
                                "     {${symbol}_gzip, sizeof ${symbol}_gzip}},\n")
  endforeach()
endmacro()

string(REPLACE "," ";" page_files "${PAGE}")
string(REPLACE "," ";" api_files "${API}")
append_table(page "${page_files}")
append_table(api "${api_files}")
file(WRITE ${OUT} "// Made by embed.cmake.
#include \"daemon/web/page_bytes.h\"

namespace leadwright {
namespace {

${arrays}
const PageFile packed_page[] = {
${page_rows}};

const PageFile packed_api[] = {
${api_rows}};

}  // namespace

std::span<const PageFile> page_files() { return packed_page; }

std::span<const PageFile> api_files() { return packed_api; }

}  // namespace leadwright
")
