#include "pictures/sha256.h"

#include <openssl/evp.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <memory>
#include <vector>

namespace boardlore {
namespace {

class Digest {
 public:
  Digest() : context_(EVP_MD_CTX_new(), EVP_MD_CTX_free) { EVP_DigestInit_ex(context_.get(), EVP_sha256(), nullptr); }
  void add(const void* data, std::size_t size) { EVP_DigestUpdate(context_.get(), data, size); }
  std::string hex() {
    unsigned char digest[EVP_MAX_MD_SIZE];
    unsigned size = 0;
    EVP_DigestFinal_ex(context_.get(), digest, &size);
    std::string text;
    for (unsigned i = 0; i < size; ++i) {
      text += "0123456789abcdef"[digest[i] >> 4];
      text += "0123456789abcdef"[digest[i] & 15];
    }
    return text;
  }

 private:
  std::unique_ptr<EVP_MD_CTX, decltype(&EVP_MD_CTX_free)> context_;
};

}  // namespace

Result<std::string> sha256_of_file(const std::filesystem::path& path) {
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rbe"), std::fclose);
  const auto problem = [&] {
    const int error = errno;
    return Problem{path.string(), "", "a file that can be read", std::strerror(error),
                   error == ENOENT || error == EISDIR ? Outcome::bad_input : Outcome::system_failed};
  };
  if (!file) return problem();
  Digest digest;
  std::vector<unsigned char> piece(1 << 16);
  while (const std::size_t count = std::fread(piece.data(), 1, piece.size(), file.get()))
    digest.add(piece.data(), count);
  if (std::ferror(file.get())) return problem();
  return digest.hex();
}

std::string sha256_of(std::span<const std::byte> bytes) {
  Digest digest;
  digest.add(bytes.data(), bytes.size());
  return digest.hex();
}

}  // namespace boardlore
