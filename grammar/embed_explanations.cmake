# Writes FOLDER/<slug>.md, for each of the comma-separated SLUGS, as a table of C++ strings to OUTPUT.
include(${CMAKE_CURRENT_LIST_DIR}/embed.cmake)

set(TABLE "")
string(REPLACE "," ";" NAMES "${SLUGS}")
foreach(NAME IN LISTS NAMES)
  literal_of(${FOLDER}/${NAME}.md BODY)
  string(APPEND TABLE "{\"${NAME}\",\n${BODY}},\n")
endforeach()
file(WRITE ${OUTPUT} "#include \"grammar/explanations.hpp\"
namespace wale {
const std::vector<ExplanationText>& explanation_texts() {
static const std::vector<ExplanationText> all{\n${TABLE}};
return all;
}
}
")
