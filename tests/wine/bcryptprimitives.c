/* Stands in for the library of this name where wine has none (wine 8 and earlier, of
 * Debian 12): a Rust program asks it for random bytes before its first line. The bytes
 * come from advapi32. Only for running the tests under wine; see .ci/run. */
#include <windows.h>

BOOLEAN WINAPI SystemFunction036(PVOID buffer, ULONG length); /* RtlGenRandom */

__declspec(dllexport) BOOL WINAPI ProcessPrng(PBYTE data, SIZE_T length)
{
    while (length > 0) {
        ULONG part = length > 0x10000000 ? 0x10000000 : (ULONG)length;
        if (!SystemFunction036(data, part))
            return FALSE;
        data += part;
        length -= part;
    }
    return TRUE;
}
