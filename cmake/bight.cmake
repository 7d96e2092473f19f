# Flags that every target of ours carries. No contraction: the same numbers on every machine.
add_library(bight_flags INTERFACE)
target_compile_options(bight_flags INTERFACE
  -ffp-contract=off -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wsign-conversion
  -Wold-style-cast -Wno-missing-field-initializers -Werror)
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
  # GCC 12 reports false positives of these two deep inside inlined Eigen and libstdc++ code.
  target_compile_options(bight_flags INTERFACE -Wuseless-cast -Wno-maybe-uninitialized -Wno-restrict)
  # Its memory is not tidied up before it has grown so far (kB): a batch is done before that.
  target_compile_options(bight_flags INTERFACE "SHELL:--param ggc-min-heapsize=3000000")
endif()
target_compile_definitions(bight_flags INTERFACE EIGEN_MPL2_ONLY)
if(BIGHT_SANITIZE)
  target_compile_options(bight_flags INTERFACE -fsanitize=address,undefined
    -fno-sanitize-recover=undefined -fno-omit-frame-pointer
    # Checks before every use of a pointer, a fifth of what the build costs: the address sanitizer
    # stops at the bad ones too.
    -fno-sanitize=null,alignment,object-size,pointer-overflow,nonnull-attribute,returns-nonnull-attribute)
  target_link_options(bight_flags INTERFACE -fsanitize=address,undefined)
  target_compile_definitions(bight_flags INTERFACE _GLIBCXX_ASSERTIONS)
endif()
# What the fuzzing build adds where foreign input is taken apart: the fuzzer's counters, and all of
# what is undefined but the checks before every use of a pointer. Rooms that only calculate and the
# tests do with the address sanitizer: the rest would double what they cost to compile.
add_library(bight_watched INTERFACE)
if(BIGHT_FUZZ)
  target_compile_options(bight_flags INTERFACE -fsanitize=address)
  target_link_options(bight_flags INTERFACE -fsanitize=fuzzer-no-link,address,undefined)
  # Two dozen programs of a hundred megabytes each: 9 s a link with the usual linker, 2 with this.
  find_program(BIGHT_LLD ld.lld)
  if(BIGHT_LLD)
    target_link_options(bight_flags INTERFACE -fuse-ld=lld)
  endif()
  target_compile_options(bight_watched INTERFACE -fsanitize=fuzzer-no-link,undefined
    -fno-sanitize-recover=undefined
    -fno-sanitize=null,alignment,object-size,pointer-overflow,nonnull-attribute,returns-nonnull-attribute,vptr,return)
endif()

# bight_tell_source_dir(<target> <files...>): defines BIGHT_SOURCE_DIR for those files that name it and
# for no others, all those of the target in a build in batches: a compiler cache can then serve every checkout.
function(bight_tell_source_dir target)
  if(BIGHT_TOGETHER)
    target_compile_definitions(${target} PRIVATE BIGHT_SOURCE_DIR="${CMAKE_SOURCE_DIR}")
    return()
  endif()
  foreach(file ${ARGN})
    file(STRINGS ${file} named LIMIT_COUNT 1 REGEX "BIGHT_SOURCE_DIR|reference_test_util")
    if(named)
      set_source_files_properties(${file} PROPERTIES
        COMPILE_DEFINITIONS BIGHT_SOURCE_DIR="${CMAKE_SOURCE_DIR}")
    endif()
  endforeach()
endfunction()

# bight_room(<name> [ARITHMETIC] NEEDS <rooms...> LINKS <libraries...> TEST_LINKS <libraries...>)
# One folder of src/ = one static library; every *_test.cpp in it goes into one test program.
# ARITHMETIC: it takes in nothing foreign, and is not watched by the fuzzing build; with BIGHT_RELEASED
# (the folder of a release build) it is not compiled at all but taken from there, without its tests.
function(bight_room name)
  cmake_parse_arguments(ROOM "ARITHMETIC" "" "NEEDS;LINKS;TEST_LINKS" ${ARGN})
  file(GLOB sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/*.cpp)
  set(tests ${sources})
  list(FILTER tests INCLUDE REGEX "_test\\.cpp$")
  list(FILTER sources EXCLUDE REGEX "_test\\.cpp$")
  list(TRANSFORM ROOM_NEEDS PREPEND bight_ OUTPUT_VARIABLE rooms)
  if(ROOM_ARITHMETIC AND BIGHT_RELEASED)
    add_library(bight_${name} STATIC IMPORTED GLOBAL)
    set_target_properties(bight_${name} PROPERTIES
      IMPORTED_LOCATION ${BIGHT_RELEASED}/src/${name}/libbight_${name}.a)
    target_include_directories(bight_${name} INTERFACE ${CMAKE_SOURCE_DIR}/src)
    target_link_libraries(bight_${name} INTERFACE ${rooms} ${ROOM_LINKS} fmt::fmt)
    return()
  endif()
  if(sources)
    add_library(bight_${name} STATIC ${sources})
    target_include_directories(bight_${name} PUBLIC ${CMAKE_SOURCE_DIR}/src)
    target_link_libraries(bight_${name} PUBLIC ${rooms} ${ROOM_LINKS} fmt::fmt PRIVATE bight_flags)
    if(NOT ROOM_ARITHMETIC)
      target_link_libraries(bight_${name} PRIVATE bight_watched)
    endif()
    if(BIGHT_TOGETHER)
      bight_together(bight_${name})
    endif()
  else()
    add_library(bight_${name} INTERFACE)
    target_include_directories(bight_${name} INTERFACE ${CMAKE_SOURCE_DIR}/src)
    target_link_libraries(bight_${name} INTERFACE ${rooms} ${ROOM_LINKS} fmt::fmt)
  endif()
  if(BIGHT_TESTS AND tests)
    add_executable(${name}_test ${tests})
    target_link_libraries(${name}_test PRIVATE bight_${name} ${ROOM_TEST_LINKS} bight_flags
      GTest::gtest GTest::gmock GTest::gtest_main)
    bight_tell_source_dir(${name}_test ${tests})
    if(BIGHT_TOGETHER)
      bight_together(${name}_test)
      # What is tested is compiled as released; the tests themselves need not be. Where they calculate
      # themselves, or make templates that the room then shares, they are optimized a little.
      set(test_level -O0)
      if(ROOM_ARITHMETIC AND NOT BIGHT_FUZZ)
        set(test_level -O1)
      endif()
      target_compile_options(${name}_test PRIVATE ${test_level})
    endif()
    add_test(NAME ${name} COMMAND ${name}_test --gtest_brief=0)
  endif()
endfunction()

# bight_embed(<target> <symbol> <files...>): the files become string constants in namespace
# bight::embedded, reachable through <symbol>(): a list of {name, text}.
function(bight_embed target symbol)
  get_target_property(ready ${target} IMPORTED)
  if(ready)
    return()
  endif()
  set(out ${CMAKE_CURRENT_BINARY_DIR}/${symbol}.cpp)
  add_custom_command(OUTPUT ${out}
    COMMAND ${CMAKE_COMMAND} -DOUT=${out} -DSYMBOL=${symbol} "-DFILES=${ARGN}"
      -P ${CMAKE_SOURCE_DIR}/cmake/embed.cmake
    DEPENDS ${ARGN} ${CMAKE_SOURCE_DIR}/cmake/embed.cmake
    VERBATIM COMMENT "Embedding ${symbol}")
  target_sources(${target} PRIVATE ${out})
endfunction()

# bight_embed_tree(<target> <symbol> <folder>): every file of a folder, named by its path within; no
# files where there is no folder. A file added or removed is seen at the next build.
function(bight_embed_tree target symbol folder)
  file(GLOB_RECURSE tree CONFIGURE_DEPENDS ${folder}/*)
  set(out ${CMAKE_CURRENT_BINARY_DIR}/${symbol}.cpp)
  add_custom_command(OUTPUT ${out}
    COMMAND ${CMAKE_COMMAND} -DOUT=${out} -DSYMBOL=${symbol} -DROOT=${folder} "-DFILES=${tree}"
      -P ${CMAKE_SOURCE_DIR}/cmake/embed.cmake
    DEPENDS ${tree} ${CMAKE_SOURCE_DIR}/cmake/embed.cmake
    VERBATIM COMMENT "Embedding ${symbol}")
  target_sources(${target} PRIVATE ${out})
endfunction()

# bight_fuzz(<name> <room>): fuzz/<name>_fuzz.cpp becomes the libFuzzer program <name>_fuzz.
function(bight_fuzz name room)
  add_executable(${name}_fuzz ${CMAKE_CURRENT_SOURCE_DIR}/${name}_fuzz.cpp)
  target_link_libraries(${name}_fuzz PRIVATE bight_${room} bight_flags)
  target_link_options(${name}_fuzz PRIVATE -fsanitize=fuzzer)
  add_dependencies(fuzz ${name}_fuzz)
endfunction()
