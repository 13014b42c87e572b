/// XML written as it comes, element after element: nothing is kept but the names of what is still open, so a
/// picture of a million elements takes no more memory than its bytes.
///
///     XmlText xml(bytes);
///     xml.open("text"), xml.set("x", 2.5), xml.words("k & p"), xml.close();
///                                       ->  <text x="2.5">k &amp; p</text>
///
/// Every value and every word is escaped here and nowhere else, so that no text of a pattern can become
/// markup.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace wale::render {

class XmlText {
 public:
  /// Appends to `bytes`, which must outlive the writer.
  explicit XmlText(std::string& bytes) : bytes_(bytes) {}

  /// Begins an element below the one that is open; its attributes follow with `set`, before anything else.
  void open(const char* element);
  void set(const char* attribute, std::string_view value);
  /// With two decimals at most: see `short_number`.
  void set(const char* attribute, double value);
  /// For an attribute that is written in parts: between the two, append to the bytes what needs no escaping.
  void begin_value(const char* attribute);
  void end_value() { bytes_ += '"'; }
  std::string& bytes() { return bytes_; }
  /// Characters of the open element. They must be fit for XML: see `clean_text`.
  void words(std::string_view text);
  void close();

 private:
  void finish_tag();
  void escaped(std::string_view text);

  struct Element {
    const char* name;
    bool has_elements = false;
  };
  std::string& bytes_;
  std::vector<Element> open_;
  bool in_tag_ = false;  ///< The `>` of the last element is still to come.
};

/// Appends `value` with two decimals at most and no trailing zeros: 2.50 is "2.5", -0.001 is "0". What is no
/// number is 0. The same in every locale.
void append_number(std::string& bytes, double value);

}  // namespace wale::render
