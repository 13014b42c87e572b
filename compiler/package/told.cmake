# Has the program WALE write what it tells of itself in the form FORM into the file OUTPUT.
execute_process(COMMAND ${WALE} manual ${FORM} OUTPUT_FILE ${OUTPUT} RESULT_VARIABLE FAILED)
if(FAILED)
  file(REMOVE ${OUTPUT})
  message(FATAL_ERROR "${WALE} manual ${FORM}: ${FAILED}")
endif()
