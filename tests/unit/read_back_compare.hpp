/// Words that are printed held against what was checked, loop by loop.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "compiler/check.hpp"
#include "compiler/instructions.hpp"
#include "compiler/pattern_document.hpp"
#include "tests/unit/read_back.hpp"

namespace wale::read_back {

/// Times as many random fabrics and pieces as usual: `WALE_READ_BACK=10` for ten times.
int scale();

std::vector<std::string> names_of(const std::vector<Strand>& strands);
/// The instructions of a document, with nothing else in it.
std::vector<render::Block> blocks_of(const std::vector<InstructionPart>& parts);

/// A fabric's cycle, from its smallest n on and at one larger n; what is wrong, or nothing. `faces`: the
/// faces of loops are compared, too.
std::string compare_fabric(const Fabric& fabric, Reading& reading, const ReadFabric& read,
                           const Stitches& stitches, const std::vector<std::string>& strands, bool faces,
                           int tried, std::uint64_t seed);
/// Nothing where every step of the piece is found in its turn among what is read.
std::string compare_piece(const Piece& piece, const Pattern& pattern, const Stitches& stitches,
                          const ReadPiece& read, const Stitches& table, bool faces);

/// All sizes of a pattern out of the one document of all of them, as it is printed. What is wrong.
std::vector<std::string> compare_document(const Checked& checked, const DocumentSettings& settings,
                                          Count& count);
/// The same from the instructions alone, without the rest of the document.
std::vector<std::string> compare_instructions(const Checked& checked, const DocumentSettings& settings,
                                              Count& count);
/// The instructions of all sizes, to be shown where they are wrong.
std::string printed_instructions(const Checked& checked, const DocumentSettings& settings);

}  // namespace wale::read_back
