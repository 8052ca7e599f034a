// SQLite with values that close themselves: a connection, a prepared statement, and what went wrong.
#pragma once

#include <sqlite3.h>

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

namespace boardlore::storage {

struct CloseConnection {
  void operator()(sqlite3* connection) const { sqlite3_close_v2(connection); }
};
using Connection = std::unique_ptr<sqlite3, CloseConnection>;

// The file is not a database, or not a sound one: no use trying again.
inline bool is_damage(int code) {
  const int primary = code & 0xFF;
  return primary == SQLITE_CORRUPT || primary == SQLITE_NOTADB || primary == SQLITE_FORMAT;
}

// Kept for the connection's life and run many times. An error is remembered: ask `code` once at the end.
class Statement {
 public:
  Statement(sqlite3* connection, std::string_view sql) {
    code_ = sqlite3_prepare_v3(connection, sql.data(), static_cast<int>(sql.size()), SQLITE_PREPARE_PERSISTENT, &statement_, nullptr);
  }
  Statement(const Statement&) = delete;
  Statement& operator=(const Statement&) = delete;
  ~Statement() { sqlite3_finalize(statement_); }

  Statement& bind(int index, std::string_view text) {
    note(sqlite3_bind_text64(statement_, index, text.data(), text.size(), SQLITE_TRANSIENT, SQLITE_UTF8));
    return *this;
  }
  Statement& bind(int index, std::int64_t number) {
    note(sqlite3_bind_int64(statement_, index, number));
    return *this;
  }
  // True while there is a row. False at the end, and after an error.
  bool step() {
    if (code_ != SQLITE_OK && code_ != SQLITE_ROW) return false;
    const int code = sqlite3_step(statement_);
    if (code == SQLITE_ROW) return true;
    if (code != SQLITE_DONE) code_ = code;
    return false;
  }
  // Runs it to the end and makes it ready to be run again.
  void run() {
    while (step()) {
    }
    reset();
  }
  void reset() {
    sqlite3_reset(statement_);
    sqlite3_clear_bindings(statement_);
  }
  std::string text(int column) const {
    const auto* bytes = reinterpret_cast<const char*>(sqlite3_column_text(statement_, column));
    return bytes == nullptr ? std::string{} : std::string(bytes, static_cast<std::size_t>(sqlite3_column_bytes(statement_, column)));
  }
  std::int64_t number(int column) const { return sqlite3_column_int64(statement_, column); }
  int code() const { return code_; }

 private:
  void note(int code) {
    if (code != SQLITE_OK && code_ == SQLITE_OK) code_ = code;
  }
  sqlite3_stmt* statement_ = nullptr;
  int code_ = SQLITE_OK;
};

}  // namespace boardlore::storage
