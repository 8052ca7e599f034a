// From domain values to canonical JSON text, by the member lists of describe.h.
//
// The same document is the same bytes: members in the list's order, unknown ones after them by name,
// fields at their default left out, shortest numbers that read back the same. A line holds one member of
// the document or of an object in one of its lists; what lies deeper stays on that line, so that a text
// diff shows what changed.
#pragma once

#include <charconv>

#include "storage/describe.h"
#include "storage/names.h"

namespace boardlore::storage {

class Writer {
 public:
  std::string take() { return std::move(out_); }

  void write(bool value) { out_ += value ? "true" : "false"; }
  void write(int value) { out_ += std::to_string(value); }
  void write(double value) {
    char text[32];
    if (value == 0) value = 0;  // -0 is written as 0
    const auto end = std::to_chars(text, text + sizeof text, value).ptr;
    out_.append(text, end);
  }
  void write(const std::string& text);
  void write(std::string_view text) { write(std::string(text)); }
  void write(const Id& id) { write(id.text); }
  void write(const Timestamp& time) { write(to_rfc3339(time)); }
  void write(const BoardPoint& p) { pair(p.x_mm, p.y_mm); }
  void write(const PhotoPoint& p) { pair(p.x_px, p.y_px); }
  void write(const Offset& p) { pair(p.x_mm, p.y_mm); }
  template <std::size_t n>
  void write(const std::array<double, n>& values) {
    list(values);
  }
  void write(const std::map<std::string, std::string>& texts) {
    out_ += '{';
    bool first = true;
    for (const auto& [name, text] : texts) {
      if (!first) out_ += ", ";
      first = false;
      write(name);
      out_ += ": ";
      write(text);
    }
    out_ += '}';
  }
  void write(const MarkTable& marks) {
    std::vector<const Mark*> pointers;
    pointers.reserve(marks.size());
    marks.each([&](const MarkPtr& mark) { pointers.push_back(mark.get()); });
    list(pointers);
  }
  void write(const Mark* mark) { write(*mark); }
  template <class T>
  void write(const std::optional<T>& value) {
    write(*value);
  }
  template <class T>
  void write(const std::vector<T>& values) {
    list(values);
  }
  template <class T>
    requires std::is_enum_v<T>
  void write(T value) {
    write(name_of(value));
  }
  template <class T>
    requires std::is_class_v<T>
  void write(const T& object) {
    ++depth_;
    Members<T> members{*this};
    out_ += '{';
    describe(members, object);
    if (const Unknown* unknown = unknown_of(object))
      for (const auto& [name, json] : *unknown) {
        members.start(name);
        out_ += json;
      }
    --depth_;
    if (!members.first && lines()) indent(depth_);
    out_ += '}';
  }

 private:
  static const Unknown* unknown_of(const JobFile& file) { return &file.job.unknown; }
  template <class T>
  static const Unknown* unknown_of(const T& value) {
    if constexpr (requires { value.unknown; }) return &value.unknown;
    else return nullptr;
  }

  template <class Object>
  struct Members {
    Writer& writer;
    bool first = true;

    void start(std::string_view name) {
      if (!first) writer.out_ += ',';
      if (writer.depth_ <= line_depth) writer.indent(writer.depth_);
      else if (!first) writer.out_ += ' ';
      first = false;
      writer.write(name);
      writer.out_ += ": ";
    }
    template <class T>
    void operator()(std::string_view name, const T& field) {
      if (field == default_of<T>(name)) return;
      required(name, field);
    }
    template <class T>
    void required(std::string_view name, const T& field) {
      start(name);
      writer.write(field);
    }
    void unit(const Quantity& quantity) { required("unit", std::string(ucum_code(quantity))); }
    void header(std::string_view format, const int& minor) {
      required("format", std::string(format));
      required("version", "1." + std::to_string(minor));
    }
    // Fields of settings and conditions have defaults that are not all zero.
    template <class T>
    static const T& default_of(std::string_view name) {
      if constexpr (std::is_same_v<Object, LayerSettings> && std::is_same_v<T, double>) {
        static const LayerSettings defaults;
        return name == "short_below_ohm"  ? defaults.short_below_ohm
               : name == "open_above_ohm" ? defaults.open_above_ohm
                                          : defaults.charging_above_ohm;
      } else {
        static const T none{};
        return none;
      }
    }
  };

  // The document (depth 1), objects directly in it (2) and in its lists (3) have a member a line.
  static constexpr int line_depth = 3;
  bool lines() const { return depth_ + 1 <= line_depth; }
  void indent(int depth) {
    out_ += '\n';
    out_.append(static_cast<std::size_t>(depth), ' ');
  }
  void pair(double x, double y) {
    out_ += '[';
    write(x);
    out_ += ", ";
    write(y);
    out_ += ']';
  }
  template <class List>
  void list(const List& values) {
    ++depth_;
    out_ += '[';
    bool first = true;
    // Only lists of objects directly in the document take a line an element.
    using Element = std::remove_cvref_t<decltype(*values.begin())>;
    constexpr bool objects = std::is_pointer_v<Element> || requires(const Element& e) { e.unknown; };
    const bool own_lines = objects && depth_ == 2;
    for (const auto& value : values) {
      if (!first) out_ += own_lines ? "," : ", ";
      if (own_lines) indent(depth_);
      first = false;
      write(value);
    }
    --depth_;
    if (own_lines && !first) indent(depth_);
    out_ += ']';
  }

  std::string out_;
  int depth_ = 0;
};

}  // namespace boardlore::storage
