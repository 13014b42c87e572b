#include "render/xml_text.hpp"

#include <charconv>
#include <cmath>

namespace wale::render {

void XmlText::open(const char* element) {
  finish_tag();
  if (!open_.empty()) open_.back().has_elements = true;
  if (!bytes_.empty() && bytes_.back() != '\n') bytes_ += '\n';
  bytes_ += '<';
  bytes_ += element;
  open_.push_back({element});
  in_tag_ = true;
}

void XmlText::set(const char* attribute, std::string_view value) {
  begin_value(attribute);
  escaped(value);
  end_value();
}

void XmlText::set(const char* attribute, double value) {
  begin_value(attribute);
  append_number(bytes_, value);
  end_value();
}

void XmlText::begin_value(const char* attribute) {
  bytes_ += ' ';
  bytes_ += attribute;
  bytes_ += "=\"";
}

void XmlText::words(std::string_view text) {
  finish_tag();
  escaped(text);
}

void XmlText::close() {
  if (in_tag_) {
    bytes_ += "/>\n";
  } else {
    if (open_.back().has_elements && bytes_.back() != '\n') bytes_ += '\n';
    bytes_ += "</";
    bytes_ += open_.back().name;
    bytes_ += ">\n";
  }
  in_tag_ = false;
  open_.pop_back();
}

void XmlText::finish_tag() {
  if (in_tag_) bytes_ += '>';
  in_tag_ = false;
}

void XmlText::escaped(std::string_view text) {
  for (const char c : text) {
    switch (c) {
      case '&':
        bytes_ += "&amp;";
        break;
      case '<':
        bytes_ += "&lt;";
        break;
      case '>':
        bytes_ += "&gt;";
        break;
      case '"':
        bytes_ += "&quot;";
        break;
      default:
        bytes_ += c;
    }
  }
}

void append_number(std::string& bytes, double value) {
  // Whole hundredths; nothing that is drawn lies beyond what they can hold.
  if (!std::isfinite(value) || std::abs(value) > 1e15) value = 0;
  const long long hundredths = std::llround(value * 100);
  const long long size = std::llabs(hundredths);
  if (hundredths < 0) bytes += '-';
  char digits[24];
  bytes.append(digits, std::to_chars(digits, digits + sizeof digits, size / 100).ptr);
  if (size % 100 == 0) return;
  bytes += '.';
  bytes += static_cast<char>('0' + size % 100 / 10);
  if (size % 10 != 0) bytes += static_cast<char>('0' + size % 10);
}

}  // namespace wale::render
