#include "storage/shop_index.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <cstdlib>
#include <future>
#include <map>
#include <set>

#include "storage/cache_folder.h"
#include "storage/file_bytes.h"
#include "storage/shop_digest.h"
#include "storage/sqlite_statement.h"

namespace boardlore {
namespace {

namespace fs = std::filesystem;
using storage::Connection;
using storage::is_damage;
using storage::Statement;

constexpr int schema_version = 3;            // another one: the index is built again
constexpr int wait_for_other_ms = 20'000;    // longer than a batch of another process takes
constexpr std::size_t batch_files = 512;     // read and written together; a stop loses no more than this
constexpr std::size_t large_update = 1000;  // documents
constexpr std::size_t most_refusals_kept = 100;
constexpr int deepest_folder = 6;            // jobs are sorted into years and months at most
constexpr std::size_t most_files = 1'000'000;

// rowid of `words`: four times the key of what it belongs to, and which kind that is.
constexpr const char* schema = R"sql(
CREATE TABLE document(key INTEGER PRIMARY KEY, dir TEXT UNIQUE NOT NULL, is_job INT, size INT, changed INT, id TEXT, layer TEXT,
                      board TEXT, title TEXT, symptom TEXT, outcome TEXT, opened INT, month TEXT);
CREATE INDEX document_layer ON document(layer, is_job);
CREATE TABLE action(document INT, refdes TEXT, what TEXT);
CREATE INDEX action_document ON action(document);
CREATE TABLE mark(key INTEGER PRIMARY KEY, document INT, id TEXT, refdes TEXT, words TEXT);
CREATE INDEX mark_document ON mark(document);
CREATE VIRTUAL TABLE words USING fts5(refdes, title, board, body, prefix='2', tokenize="unicode61 remove_diacritics 2");
)sql";

enum Kind : std::int64_t { job_words = 0, mark_words = 1, board_words = 2 };
constexpr std::int64_t row_of(std::int64_t key, Kind kind) { return 4 * key + kind; }

// Scoring a match costs a microsecond, and a word like "replaced" stands in most jobs: of jobs and of marks that
// match only the latest read are scored. Of boards, a few hundred, all are.
constexpr std::int64_t most_scored = 500;

struct FileState {
  std::int64_t size = 0, changed_ns = 0;
  bool operator==(const FileState&) const = default;
};

struct Found {
  std::string dir, file;
  FileState state;
};

std::optional<FileState> state_of(const std::string& file) {
  struct stat info {};
  if (stat(file.c_str(), &info) != 0 || !S_ISREG(info.st_mode)) return std::nullopt;
  return FileState{info.st_size, static_cast<std::int64_t>(info.st_mtim.tv_sec) * 1'000'000'000 + info.st_mtim.tv_nsec};
}

std::optional<Found> document_in(const std::string& dir) {
  for (const char* name : {"/job.json", "/layer.json"})
    if (const auto state = state_of(dir + name)) return Found{dir, dir + name, *state};
  return std::nullopt;
}

// Every folder with a document; what lies inside one is its own affair. Links are not followed: no loops.
void look_for_documents(const fs::path& dir, int depth, std::vector<Found>& found) {
  if (found.size() >= most_files) return;
  if (auto document = document_in(dir.string())) {
    found.push_back(std::move(*document));
    return;
  }
  if (depth >= deepest_folder) return;
  std::vector<fs::path> inside;
  std::error_code error;
  for (fs::directory_iterator at(dir, fs::directory_options::skip_permission_denied, error), end; !error && at != end; at.increment(error)) {
    std::error_code ignored;
    if (at->is_directory(ignored) && !at->is_symlink(ignored) && at->path().filename().string().front() != '.') inside.push_back(at->path());
  }
  std::sort(inside.begin(), inside.end());
  for (const fs::path& child : inside) look_for_documents(child, depth + 1, found);
}

struct ReadDocument {
  const Found* found = nullptr;
  std::optional<Result<Digest>> digest;
};

std::vector<ReadDocument> read_batch(const std::vector<Found>& files, std::size_t from, std::size_t to) {
  std::vector<ReadDocument> batch;
  batch.reserve(to - from);
  for (std::size_t i = from; i < to; ++i) {
    ReadDocument document{&files[i], std::nullopt};
    Result<std::string> text = read_file(files[i].file);
    if (text) document.digest.emplace(digest_document(*text, files[i].file));
    else document.digest.emplace(text.problem());
    batch.push_back(std::move(document));
  }
  return batch;
}

std::int64_t ms_of(const std::string& rfc3339) {
  const auto time = parse_rfc3339(rfc3339);
  return time ? time->ms : 0;
}

// Words as FTS5 takes them: each quoted, the start of a word unless it is a single character.
std::string match_expression(const FindQuery& query) {
  std::string expression;
  const auto add = [&](std::string_view text, const char* column, bool prefix) {
    std::string word;
    int words = 0;
    const auto flush = [&] {
      if (word.empty() || ++words > 16) return word.clear();
      if (!expression.empty()) expression += " AND ";
      expression += column;
      expression += "\"" + word + "\"";
      if (prefix && word.size() > 1) expression += " *";
      word.clear();
    };
    for (const char c : text.substr(0, 400)) {
      const auto byte = static_cast<unsigned char>(c);
      if (byte >= 0x80 || std::isalnum(byte)) word += c;
      else flush();
    }
    flush();
  };
  add(query.words, "", true);
  add(query.board, "board : ", true);
  add(query.refdes, "refdes : ", false);
  return expression;
}

// A dozen words of `text` where the first of the words asked for stands; empty: in none of it.
std::string excerpt_around(const std::string& text, std::string_view asked) {
  const auto is_word = [](char c) { return std::isalnum(static_cast<unsigned char>(c)) || static_cast<unsigned char>(c) >= 0x80; };
  const auto lower = [](char c) { return static_cast<char>(std::tolower(static_cast<unsigned char>(c))); };
  std::size_t found = std::string::npos;
  for (std::size_t at = 0; at < asked.size() && found == std::string::npos;) {
    while (at < asked.size() && !is_word(asked[at])) ++at;
    const std::size_t begin = at;
    while (at < asked.size() && is_word(asked[at])) ++at;
    const std::string_view word = asked.substr(begin, at - begin);
    if (word.empty()) break;
    for (auto from = text.begin(); found == std::string::npos;) {
      const auto hit = std::search(from, text.end(), word.begin(), word.end(), [&](char a, char b) { return lower(a) == lower(b); });
      if (hit == text.end()) break;
      if (hit == text.begin() || !is_word(*(hit - 1))) found = static_cast<std::size_t>(hit - text.begin());
      from = hit + 1;
    }
  }
  if (found == std::string::npos) return {};
  // Whole words only, four before and eight from there on.
  std::size_t begin = found, end = found;
  for (int n = 0; n < 4 && begin > 0; ++n) {
    --begin;
    while (begin > 0 && text[begin - 1] != ' ') --begin;
  }
  for (int n = 0; n < 8 && end < text.size(); ++n) end = std::min(text.find(' ', end + 1), text.size());
  return (begin > 0 ? "..." : "") + text.substr(begin, end - begin) + (end < text.size() ? "..." : "");
}

std::string absolute_folder(const fs::path& folder) {
  std::error_code error;
  fs::path path = fs::weakly_canonical(folder, error);
  if (error) path = fs::absolute(folder, error);
  std::string text = path.lexically_normal().string();
  while (text.size() > 1 && text.back() == '/') text.pop_back();
  return text;
}

bool lies_under(const std::string& dir, const std::string& folder) {
  return dir.size() >= folder.size() && dir.compare(0, folder.size(), folder) == 0 &&
         (dir.size() == folder.size() || dir[folder.size()] == '/' || folder == "/");
}

// Held while the file is thrown away and made, so that two processes do not do it to each other.
class RebuildLock {
 public:
  explicit RebuildLock(const fs::path& index) : descriptor_(open((index.string() + ".lock").c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600)) {
    if (descriptor_ >= 0) flock(descriptor_, LOCK_EX);
  }
  ~RebuildLock() {
    if (descriptor_ >= 0) close(descriptor_);
  }
  RebuildLock(const RebuildLock&) = delete;
  RebuildLock& operator=(const RebuildLock&) = delete;

 private:
  int descriptor_;
};

}  // namespace

struct ShopIndex::Database {
  Connection connection;
  explicit Database(Connection opened) : connection(std::move(opened)) {}
  sqlite3* get() const { return connection.get(); }
  int run(const char* sql) const { return sqlite3_exec(get(), sql, nullptr, nullptr, nullptr); }
};

ShopIndex::ShopIndex(fs::path file) : file_(std::move(file)) {}
ShopIndex::ShopIndex(ShopIndex&&) noexcept = default;
ShopIndex& ShopIndex::operator=(ShopIndex&&) noexcept = default;
ShopIndex::~ShopIndex() = default;

namespace {

Problem index_problem(const fs::path& file, int code) {
  return Problem{file.string(), "", "an index that can be read and written", sqlite3_errstr(code), Outcome::system_failed};
}

}  // namespace

fs::path ShopIndex::usual_place() {
  if (const char* said = std::getenv("BOARDLORE_INDEX"); said != nullptr && *said != 0) return said;
  return cache_folder("shop.sqlite");
}

// Opens and, in a new file, makes the tables. Any code but SQLITE_OK leaves no connection.
Result<Done> ShopIndex::start() {
  database_.reset();
  sqlite3* raw = nullptr;
  int code = sqlite3_open_v2(file_.c_str(), &raw, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX, nullptr);
  auto opened = std::make_unique<Database>(Connection(raw));
  const auto failed = [&](int why) {
    Problem problem = index_problem(file_, why);
    if (is_damage(why)) problem.where = "damaged";
    return problem;
  };
  if (code != SQLITE_OK) return failed(code);
  sqlite3_busy_timeout(raw, wait_for_other_ms);
  code = opened->run("PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL; PRAGMA cache_size=-8192;");
  if (code != SQLITE_OK) return failed(code);
  // Two processes may both find an empty file: the first to hold the write lock makes the tables.
  code = opened->run("BEGIN IMMEDIATE");
  if (code != SQLITE_OK) return failed(code);
  std::int64_t version = 0, tables = 0;
  {
    Statement ask(raw, "PRAGMA user_version");
    if (ask.step()) version = ask.number(0);
    Statement count(raw, "SELECT count(*) FROM sqlite_master");
    if (count.step()) tables = count.number(0);
    code = ask.code() != SQLITE_OK && ask.code() != SQLITE_ROW ? ask.code() : count.code();
  }
  if (code == SQLITE_OK && tables == 0) {
    code = opened->run(schema);
    if (code == SQLITE_OK) code = opened->run(("PRAGMA user_version=" + std::to_string(schema_version)).c_str());
  } else if (code == SQLITE_OK && version != schema_version) {
    code = SQLITE_FORMAT;  // made by another version: as good as damaged
  }
  if (code != SQLITE_OK) {
    opened->run("ROLLBACK");
    return failed(code);
  }
  code = opened->run("COMMIT");
  if (code != SQLITE_OK) return failed(code);
  database_ = std::move(opened);
  return Done{};
}

Result<Done> ShopIndex::start_over() {
  database_.reset();
  const RebuildLock lock(file_);
  // Another process may have mended it while this one waited for the lock.
  if (start()) {
    Statement check(database_->get(), "PRAGMA quick_check(1)");
    if (check.step() && check.text(0) == "ok") return Done{};
  }
  database_.reset();
  std::error_code error;
  for (const char* part : {"", "-wal", "-shm", "-journal"}) fs::remove(file_.string() + part, error);
  rebuilt_ = true;
  return start();
}

Result<ShopIndex> ShopIndex::open(const fs::path& file) {
  std::error_code error;
  if (!file.parent_path().empty()) fs::create_directories(file.parent_path(), error);
  ShopIndex index(file);
  Result<Done> started = index.start();
  if (!started && started.problem().where == "damaged") {
    started = index.start_over();
    if (started && index.rebuilt_) (void)index.refresh();
  }
  if (!started) return started.problem();
  return index;
}

// Runs `work(code)`, which sets `code` where SQLite failed. On damage: from nothing, the known folders read
// again, and once more.
template <class T, class Work>
Result<T> ShopIndex::mended(Work work) {
  for (int attempt = 0;; ++attempt) {
    int code = SQLITE_OK;
    T result = work(code);
    if (code == SQLITE_OK) return result;
    if (!is_damage(code) || attempt > 0) return index_problem(file_, code);
    if (Result<Done> done = start_over(); !done) return done.problem();
    if (rebuilt_)
      if (Result<IndexReport> report = refresh(); !report) return report.problem();
  }
}

std::vector<fs::path> ShopIndex::folders() const {
  std::vector<fs::path> known;
  const Result<std::string> text = read_file(file_.string() + ".folders", 1U << 20U);
  if (!text) return known;
  for (std::size_t at = 0; at < text->size();) {
    const std::size_t end = std::min(text->find('\n', at), text->size());
    if (end > at) known.emplace_back(text->substr(at, end - at));
    at = end + 1;
  }
  return known;
}

Result<IndexReport> ShopIndex::refresh(const IndexProgress& progress) { return update(folders(), progress); }

namespace {

// What is done to the index for one document; statements are kept for a whole update.
class Writer {
 public:
  explicit Writer(sqlite3* connection)
      : find_(connection, "SELECT key FROM document WHERE dir=?1"),
        insert_(connection,
                "INSERT INTO document(dir,is_job,size,changed,id,layer,board,title,symptom,outcome,opened,month) "
                "VALUES(?1,?2,?3,?4,?5,?6,?7,?8,?9,?10,?11,?12) RETURNING key"),
        drop_document_(connection, "DELETE FROM document WHERE key=?1"),
        drop_actions_(connection, "DELETE FROM action WHERE document=?1"),
        drop_mark_words_(connection, "DELETE FROM words WHERE rowid IN (SELECT 4*key+1 FROM mark WHERE document=?1)"),
        drop_marks_(connection, "DELETE FROM mark WHERE document=?1"),
        drop_words_(connection, "DELETE FROM words WHERE rowid=?1"),
        insert_action_(connection, "INSERT INTO action VALUES(?1,?2,?3)"),
        insert_mark_(connection, "INSERT INTO mark(document,id,refdes,words) VALUES(?1,?2,?3,?4) RETURNING key"),
        insert_words_(connection, "INSERT INTO words(rowid,refdes,title,board,body) VALUES(?1,?2,?3,?4,?5)") {}

  void drop(const std::string& dir) {
    find_.bind(1, dir);
    const std::int64_t key = find_.step() ? find_.number(0) : 0;
    find_.reset();
    if (key == 0) return;
    for (Statement* statement : {&drop_actions_, &drop_mark_words_, &drop_marks_, &drop_document_}) statement->bind(1, key).run();
    for (const Kind kind : {job_words, board_words}) drop_words_.bind(1, row_of(key, kind)).run();
  }
  // `digest` null: a file that could not be read, remembered so that it is not read again until it changes.
  void put(const Found& found, const Digest* digest) {
    drop(found.dir);
    static const Digest nothing;
    const Digest& d = digest == nullptr ? nothing : *digest;
    const std::string month = (d.closed_at.empty() ? d.opened_at : d.closed_at).substr(0, 7);
    insert_.bind(1, found.dir).bind(2, std::int64_t{digest == nullptr ? -1 : d.is_job ? 1 : 0}).bind(3, found.state.size).bind(4, found.state.changed_ns);
    insert_.bind(5, d.id).bind(6, d.layer).bind(7, d.board).bind(8, d.title).bind(9, d.symptom).bind(10, d.outcome);
    insert_.bind(11, ms_of(d.opened_at)).bind(12, month);
    const std::int64_t key = insert_.step() ? insert_.number(0) : 0;
    insert_.run();
    if (digest == nullptr || key == 0) return;
    for (const Cure& action : d.actions) insert_action_.bind(1, key).bind(2, action.refdes).bind(3, action.what).run();
    put_words(row_of(key, d.is_job ? job_words : board_words), d.is_job ? d.refdes : "", d.is_job ? d.title + " " + d.symptom : d.title, d.board, d.words);
    for (const DigestMark& mark : d.marks) {
      if (mark.refdes.empty() && mark.words.empty()) continue;
      insert_mark_.bind(1, key).bind(2, mark.id).bind(3, mark.refdes).bind(4, mark.words);
      const std::int64_t mark_key = insert_mark_.step() ? insert_mark_.number(0) : 0;
      insert_mark_.run();
      put_words(row_of(mark_key, mark_words), mark.refdes, "", d.board, mark.words);
    }
  }
  int code() const {
    for (const Statement* statement : {&find_, &insert_, &drop_document_, &drop_actions_, &drop_mark_words_, &drop_marks_, &drop_words_,
                                       &insert_action_, &insert_mark_, &insert_words_})
      if (statement->code() != SQLITE_OK) return statement->code();
    return SQLITE_OK;
  }

 private:
  void put_words(std::int64_t row, std::string_view refdes, std::string_view title, std::string_view board, std::string_view body) {
    insert_words_.bind(1, row).bind(2, refdes).bind(3, title).bind(4, board).bind(5, body).run();
  }
  Statement find_, insert_, drop_document_, drop_actions_, drop_mark_words_, drop_marks_, drop_words_, insert_action_, insert_mark_, insert_words_;
};

}  // namespace

Result<IndexReport> ShopIndex::update(const std::vector<fs::path>& folders, const IndexProgress& progress) {
  std::vector<std::string> roots;
  std::vector<Found> found;
  for (const fs::path& folder : folders) {
    std::string root = absolute_folder(folder);
    std::error_code error;
    if (!fs::is_directory(root, error)) {
      // A folder on a share that is away for a moment must not empty the index.
      if (this->folders() == folders) continue;
      return Problem{folder.string(), "", "a folder of jobs or boards", "no such folder"};
    }
    look_for_documents(root, 0, found);
    roots.push_back(std::move(root));
  }
  std::sort(found.begin(), found.end(), [](const Found& a, const Found& b) { return a.dir < b.dir; });
  found.erase(std::unique(found.begin(), found.end(), [](const Found& a, const Found& b) { return a.dir == b.dir; }), found.end());
  std::set<std::string> known;
  for (const fs::path& folder : this->folders()) known.insert(folder.string());
  const std::size_t before = known.size();
  known.insert(roots.begin(), roots.end());
  if (known.size() != before) {
    std::string text;
    for (const std::string& folder : known) text += folder + "\n";
    if (Result<Done> written = write_file_atomically(file_.string() + ".folders", text); !written) return written.problem();
  }
  const auto work = [&](int& code) {
    IndexReport report;
    report.files = found.size();
    report.rebuilt = rebuilt_;
    std::map<std::string, FileState, std::less<>> had;
    {
      Statement all(database_->get(), "SELECT dir,size,changed FROM document");
      while (all.step()) {
        std::string dir = all.text(0);
        if (std::any_of(roots.begin(), roots.end(), [&](const std::string& root) { return lies_under(dir, root); }))
          had.emplace(std::move(dir), FileState{all.number(1), all.number(2)});
      }
      if ((code = all.code()) != SQLITE_OK) return report;
    }
    std::vector<Found> changed;
    for (const Found& file : found) {
      const auto at = had.find(file.dir);
      if (at == had.end() || at->second != file.state) changed.push_back(file);
      if (at != had.end()) had.erase(at);
    }
    // The latest last, so that a higher key is a later document (find scores the latest).
    std::stable_sort(changed.begin(), changed.end(), [](const Found& a, const Found& b) { return a.state.changed_ns < b.state.changed_ns; });
    // A large update may take the memory that a window's few questions do not.
    if (changed.size() > large_update) database_->run("PRAGMA cache_size=-65536");
    Writer writer(database_->get());
    const auto end_batch = [&](bool good) { return database_->run(good ? "COMMIT" : "ROLLBACK"); };
    if (!had.empty()) {
      if ((code = database_->run("BEGIN IMMEDIATE")) != SQLITE_OK) return report;
      for (const auto& [dir, state] : had) writer.drop(dir);
      code = writer.code();
      if (const int ended = end_batch(code == SQLITE_OK); code == SQLITE_OK) code = ended;
      if (code != SQLITE_OK) return report;
      report.dropped = had.size();
    }
    // While one batch is written the next is read.
    std::future<std::vector<ReadDocument>> next;
    const auto start_reading = [&](std::size_t from) {
      if (from < changed.size())
        next = std::async(std::launch::async, [&changed, from] { return read_batch(changed, from, std::min(from + batch_files, changed.size())); });
    };
    start_reading(0);
    for (std::size_t at = 0; at < changed.size(); at += batch_files) {
      const std::vector<ReadDocument> batch = next.get();
      start_reading(at + batch_files);
      if ((code = database_->run("BEGIN IMMEDIATE")) != SQLITE_OK) break;
      for (const ReadDocument& document : batch) {
        const Result<Digest>& digest = *document.digest;
        writer.put(*document.found, digest ? &*digest : nullptr);
        if (digest) continue;
        ++report.refused_count;
        if (report.refused.size() < most_refusals_kept) report.refused.push_back(digest.problem());
      }
      code = writer.code();
      if (const int ended = end_batch(code == SQLITE_OK); code == SQLITE_OK) code = ended;
      if (code != SQLITE_OK) break;
      report.read += batch.size();
      if (progress && !progress(report.read, changed.size())) break;
    }
    if (next.valid()) next.wait();
    return report;
  };
  // Not by `mended`, which would call back here.
  int code = SQLITE_OK;
  IndexReport report = work(code);
  if (code != SQLITE_OK && is_damage(code)) {
    if (Result<Done> done = start_over(); !done) return done.problem();
    code = SQLITE_OK;
    report = work(code);
    report.rebuilt = true;
  }
  database_->run("PRAGMA cache_size=-8192; PRAGMA shrink_memory");
  if (code != SQLITE_OK) return index_problem(file_, code);
  return report;
}

Result<Done> ShopIndex::note_saved(const fs::path& dir) {
  const std::string folder = absolute_folder(dir);
  const auto document = document_in(folder);
  std::optional<Result<Digest>> digest;
  if (document) {
    Result<std::string> text = read_file(document->file);
    if (text) digest.emplace(digest_document(*text, document->file));
  }
  return mended<Done>([&](int& code) {
    if ((code = database_->run("BEGIN IMMEDIATE")) != SQLITE_OK) return Done{};
    Writer writer(database_->get());
    if (document) writer.put(*document, digest && *digest ? &**digest : nullptr);
    else writer.drop(folder);
    code = writer.code();
    const int ended = database_->run(code == SQLITE_OK ? "COMMIT" : "ROLLBACK");
    if (code == SQLITE_OK) code = ended;
    return Done{};
  });
}

Result<std::vector<Hit>> ShopIndex::find(const FindQuery& query) {
  const std::string expression = match_expression(query);
  const auto most = static_cast<std::int64_t>(std::clamp<std::size_t>(query.most, 1, 10'000));
  const std::int64_t since = query.since ? query.since->ms : -1;
  const std::string columns = "d.is_job, w.row & 3, d.dir, d.id, d.layer, d.board, d.title, d.symptom, d.outcome, d.opened, m.id, m.refdes, m.words";
  const std::string jobs = since < 0 ? "rowid & 3 = 0" : "rowid & 3 = 0 AND rowid / 4 IN (SELECT key FROM document WHERE is_job = 1 AND opened >= ?2)";
  std::string sql;
  if (expression.empty()) {
    sql = "SELECT " + columns + ", '' FROM (SELECT 4*key AS row, key FROM document WHERE is_job >= 0 AND opened >= ?2 ORDER BY opened DESC, key DESC "
          "LIMIT ?3) w JOIN document d ON d.key = w.key LEFT JOIN mark m ON 0 WHERE ?1 = ''";
  } else {
    // Designators weigh most, then what was reported; a board's name least, since all its jobs carry it. A board or a
    // mark stands before the hundred jobs that say the same. (bm25 is negative, the best lowest.)
    sql = "SELECT " + columns + ", b.body FROM (SELECT rowid AS row, bm25(words, 8.0, 4.0, 1.0, 2.0) * (CASE rowid & 3 WHEN 0 THEN 1 ELSE 2 END) AS score FROM words WHERE words MATCH ?1 AND (" +
          (since < 0 ? "rowid & 3 = 2 OR (rowid & 3 = 1 AND rowid >= ?5) OR " : std::string()) + "(" + jobs + " AND rowid >= ?4)) ORDER BY score, row DESC LIMIT ?3) w" +
          " JOIN words b ON b.rowid = w.row LEFT JOIN mark m ON w.row & 3 = 1 AND m.key = w.row / 4" +
          " JOIN document d ON d.key = CASE WHEN w.row & 3 = 1 THEN m.document ELSE w.row / 4 END ORDER BY w.score, d.opened DESC, w.row DESC";
  }
  return mended<std::vector<Hit>>([&](int& code) {
    std::vector<Hit> hits;
    // The row from which on matches of a kind are scored.
    const auto first_scored = [&](const std::string& of_kind) -> std::int64_t {
      Statement ask(database_->get(), "SELECT rowid FROM words WHERE words MATCH ?1 AND " + of_kind + " ORDER BY rowid DESC LIMIT 1 OFFSET ?3");
      ask.bind(1, expression).bind(3, std::max(most, most_scored) - 1);
      if (since >= 0 && of_kind == jobs) ask.bind(2, since);
      const std::int64_t row = ask.step() ? ask.number(0) : 0;
      if (ask.code() != SQLITE_OK) code = ask.code();
      return row;
    };
    Statement ask(database_->get(), sql);
    ask.bind(1, expression).bind(3, most);
    if (expression.empty() || since >= 0) ask.bind(2, since);
    if (!expression.empty()) {
      ask.bind(4, first_scored(jobs));
      if (since < 0) ask.bind(5, first_scored("rowid & 3 = 1"));
      if (code != SQLITE_OK) return hits;
    }
    while (ask.step()) {
      Hit hit;
      const bool is_mark = ask.number(1) == mark_words;
      hit.kind = is_mark ? HitKind::mark : ask.number(0) == 1 ? HitKind::job : HitKind::board;
      hit.dir = ask.text(2);
      hit.id = ask.text(is_mark ? 10 : 3);
      hit.layer = ask.text(4), hit.board = ask.text(5);
      hit.title = ask.text(is_mark ? 12 : 6);
      hit.symptom = ask.text(7), hit.outcome = ask.text(8);
      if (ask.number(9) != 0) hit.opened_at = Timestamp{ask.number(9)};
      if (is_mark) hit.refdes = ask.text(11);
      else hit.excerpt = excerpt_around(ask.text(13), query.words);
      hits.push_back(std::move(hit));
    }
    code = ask.code();
    return hits;
  });
}

Result<std::vector<PastJob>> ShopIndex::past_jobs(const Id& layer) {
  return mended<std::vector<PastJob>>([&](int& code) {
    std::vector<PastJob> jobs;
    Statement ask(database_->get(),
                  "SELECT d.key, d.symptom, d.title, d.outcome, d.month, a.refdes, a.what FROM document d LEFT JOIN action a ON a.document = d.key "
                  "WHERE d.layer = ?1 AND d.is_job = 1 ORDER BY d.key");
    ask.bind(1, layer.text);
    std::int64_t last = 0;
    while (ask.step()) {
      if (ask.number(0) != last) {
        last = ask.number(0);
        jobs.push_back({ask.text(1).empty() ? ask.text(2) : ask.text(1), ask.text(3) == "fixed", {}, ask.text(4)});
      }
      if (const std::string what = ask.text(6); is_cure(what)) jobs.back().cures.push_back({ask.text(5), what});
    }
    code = ask.code();
    return jobs;
  });
}

Result<std::vector<std::string>> ShopIndex::symptoms(const Id& layer) {
  return mended<std::vector<std::string>>([&](int& code) {
    std::vector<std::string> symptoms;
    Statement ask(database_->get(),
                  "SELECT symptom FROM document WHERE is_job = 1 AND symptom <> '' AND (?1 = '' OR layer = ?1) GROUP BY symptom "
                  "ORDER BY count(*) DESC, symptom LIMIT 200");
    ask.bind(1, layer.text);
    while (ask.step()) symptoms.push_back(ask.text(0));
    code = ask.code();
    return symptoms;
  });
}

void note_in_shop_index(const fs::path& dir) {
  const fs::path file = ShopIndex::usual_place();
  const Result<std::string> folders = read_file(file.string() + ".folders", 1U << 20U);
  if (!folders) return;
  const std::string saved = absolute_folder(dir);
  bool known = false;
  for (std::size_t at = 0; at < folders->size() && !known;) {
    const std::size_t end = std::min(folders->find('\n', at), folders->size());
    known = end > at && lies_under(saved, folders->substr(at, end - at));
    at = end + 1;
  }
  if (!known) return;
  if (Result<ShopIndex> index = ShopIndex::open(file)) (void)index->note_saved(dir);
}

}  // namespace boardlore
