# Writes OUT: a C++ source holding each of FILES as a string constant, named by its path below ROOT
# where that is given (see bight_embed, bight_embed_tree).
# Each step runs once over the whole file, so the time grows with its size and no faster.
string(REPEAT "." 96 piece)
set(rows "")
foreach(file IN LISTS FILES)
  if(ROOT)
    file(RELATIVE_PATH name ${ROOT} ${file})
  else()
    get_filename_component(name ${file} NAME)
  endif()
  file(READ ${file} hex HEX)
  string(LENGTH "${hex}" hex_length)
  math(EXPR bytes "${hex_length} / 2")
  # Hex escapes run on, so a literal is cut after every 48 bytes.
  string(REGEX REPLACE "(${piece})" "\\1\n" lines "${hex}")
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "\\\\x\\1" escaped "${lines}")
  string(REPLACE "\n" "\"\n    \"" literal "${escaped}")
  string(APPEND rows
    "    {\"${name}\", std::string_view(\n    \"${literal}\", ${bytes})},\n")
endforeach()
if(rows)
  set(body "  static const File files[] = {\n${rows}  };\n  return files;\n")
else()
  set(body "  return {};\n")
endif()
file(WRITE ${OUT} "#include \"base/embedded.h\"

namespace bight::embedded {

std::span<const File> ${SYMBOL}();

std::span<const File> ${SYMBOL}() {
${body}}

}  // namespace bight::embedded
")
