// Whether this build looks for leaks when it ends.
#pragma once

namespace boardlore {

#if defined(__SANITIZE_ADDRESS__)
inline constexpr bool kUnderLeakCheck = true;
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
inline constexpr bool kUnderLeakCheck = true;
#else
inline constexpr bool kUnderLeakCheck = false;
#endif
#else
inline constexpr bool kUnderLeakCheck = false;
#endif

}  // namespace boardlore
