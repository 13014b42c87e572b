/// The pattern in words, as the trade writes them.
///
/// The author's fill stays a repeat ("*k2, p2; rep from * to last 2 sts, k2"), rows that are alike are said
/// once
/// ("Row 4: As row 2", "Rows 5-8: Rep rows 1-4"), and the stitch count stands where it changes.
///
///     2: <p2 k2> p2     Row 2 (WS): *P2, k2; rep from * to last 2 sts, p2.
#pragma once

#include <string>
#include <vector>

#include "compiler/document_settings.hpp"
#include "compiler/pattern.hpp"

namespace wale {

/// One instruction: what is set in bold, and the sentence.
struct Instruction {
  std::string lead, text;
  std::vector<std::string> rows = {};  ///< Of a fabric: the chart's labels of the rows that it is about.
  /// Of a piece: the fabrics that are worked, each as the text speaks of it ("in rope"), by index in the
  /// piece.
  std::vector<std::pair<std::string, int>> fabrics = {};
};

struct InstructionPart {
  std::string heading;
  std::vector<Instruction> lines;
  std::string chart = {};          ///< The name of the chart that shows the same rows.
  const Piece* piece = nullptr;    ///< The piece that it is about, if it is.
  const Fabric* fabric = nullptr;  ///< The fabric that it is about, where it is worked as it was written.
};

/// The stitch as instructions write it: "k2tog", "2/2 RC".
std::string written_name(const Stitch& stitch);

/// The label of a row in the chart: "1", "1 M".
std::string row_label(const Row& row, const std::vector<Strand>& strands);

/// A row as a sentence, without its label: "*K2, p2; rep from * to last 2 sts, k2."
std::string row_sentence(const Row& row, const Stitches& stitches, const std::vector<Strand>& strands);

/// "multiple of 4 sts + 2", "12 sts", "any number of sts".
std::string width_words(const Fabric& fabric);

/// "160 cm (63 in)", or "63 in (160 cm)".
std::string length_words(double cm, Units units = Units::metric);

/// The same to what a tape can tell: to half a centimetre and a quarter of an inch.
std::string tape_words(double cm, Units units = Units::metric);

/// A fabric's rows, alike ones merged.
InstructionPart fabric_instructions(const Fabric& fabric, const Stitches& stitches,
                                    const std::vector<Strand>& strands);

/// A piece's steps; for a left-handed knitter together with `Stitches::mirrored`.
InstructionPart piece_instructions(const Piece& piece, const Pattern& pattern, const Stitches& stitches,
                                   const DocumentSettings& settings = {});

/// All fabrics and pieces in the order in which they are read. What is worked the other way than it was
/// written is told once more, before the first piece that works it so.
std::vector<InstructionPart> all_instructions(const Pattern& pattern, const Stitches& stitches,
                                              const DocumentSettings& settings = {});

}  // namespace wale
