# What Debian's Policy wants otherwise than an installation by hand has it. CPack runs this on the files before it packs them.
set(SHARE ${CPACK_TEMPORARY_INSTALL_DIRECTORY}/usr/share)

# Debian's zsh looks here, and leaves site-functions to what was installed by hand.
file(MAKE_DIRECTORY ${SHARE}/zsh/vendor-completions)
file(RENAME ${SHARE}/zsh/site-functions/_wale ${SHARE}/zsh/vendor-completions/_wale)
file(REMOVE_RECURSE ${SHARE}/zsh/site-functions)

file(COPY_FILE ${CPACK_WALE_COPYRIGHT} ${SHARE}/doc/wale/copyright)

# The day of the release, as RFC 5322 has it; no clock is asked.
execute_process(COMMAND date --utc --rfc-email --date ${CPACK_WALE_RELEASED} OUTPUT_VARIABLE DAY
  OUTPUT_STRIP_TRAILING_WHITESPACE COMMAND_ERROR_IS_FATAL ANY)
file(WRITE ${SHARE}/doc/wale/changelog.Debian "wale (${CPACK_PACKAGE_VERSION}-1) unstable; urgency=medium

  * Version ${CPACK_PACKAGE_VERSION}; what is new stands in README.md.

 -- ${CPACK_PACKAGE_CONTACT}  ${DAY}
")

# Without names and times, so that equal files are packed alike.
execute_process(COMMAND gzip -9 --no-name --force ${SHARE}/man/man1/wale.1 ${SHARE}/doc/wale/changelog.Debian
  COMMAND_ERROR_IS_FATAL ANY)
