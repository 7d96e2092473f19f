# Writes OUT: a C++ source holding each of FILES as a string constant (see bight_embed).
# Each step runs once over the whole file, so the time grows with its size and no faster.
string(REPEAT "." 96 piece)
set(rows "")
foreach(file IN LISTS FILES)
  get_filename_component(name ${file} NAME)
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
file(WRITE ${OUT} "#include \"base/embedded.h\"

namespace bight::embedded {

std::span<const File> ${SYMBOL}();

std::span<const File> ${SYMBOL}() {
  static const File files[] = {
${rows}  };
  return files;
}

}  // namespace bight::embedded
")
