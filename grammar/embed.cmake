# Files as C++ string constants. Cut in pieces: a string literal has a length limit in the standard.
#
#     cmake -DINPUT=vocabulary.wale -DOUTPUT=vocabulary.cpp -P embed.cmake

# Sets OUT to the literal that holds the file's text.
function(literal_of FILE OUT)
  file(READ ${FILE} TEXT)
  string(LENGTH "${TEXT}" LENGTH)
  set(BODY "")
  set(AT 0)
  while(AT LESS LENGTH)
    string(SUBSTRING "${TEXT}" ${AT} 4000 PIECE)
    string(APPEND BODY "R\"wale(${PIECE})wale\"\n")
    math(EXPR AT "${AT} + 4000")
  endwhile()
  set(${OUT} "${BODY}" PARENT_SCOPE)
endfunction()

if(INPUT)
  literal_of(${INPUT} BODY)
  file(WRITE ${OUTPUT} "#include \"grammar/vocabulary.hpp\"\nnamespace wale {\nconst std::string_view vocabulary_text =\n${BODY};\n}\n")
endif()
