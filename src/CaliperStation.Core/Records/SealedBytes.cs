using System.Buffers;
using System.Security.Cryptography;

namespace CaliperStation.Core.Records;

/// <summary>Finds the record's bytes in a sealed record's without reading them; the strict way is <see cref="SealedRecord.Read"/>.</summary>
public static class SealedBytes
{
    private const int HashLength = 64;
    private static readonly SearchValues<byte> _hashDigits = SearchValues.Create("0123456789abcdef"u8);
    private static readonly SearchValues<byte> _base64 = SearchValues.Create("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/="u8);

    /// <summary>The record's bytes and the hash the seal says; false when the seal is not in its one form.</summary>
    public static bool TryRecord(ReadOnlySpan<byte> seal, out ReadOnlySpan<byte> record, out ReadOnlySpan<byte> hash)
    {
        ReadOnlySpan<byte> hashName = "{\"hash\":\""u8;
        ReadOnlySpan<byte> keyName = "\",\"publicKey\":\""u8;
        ReadOnlySpan<byte> recordName = "\",\"record\":"u8;
        ReadOnlySpan<byte> signatureName = ",\"signature\":\""u8;
        record = default;
        hash = default;
        if (!seal.StartsWith(hashName) || seal.Length < hashName.Length + HashLength + keyName.Length || !seal[(hashName.Length + HashLength)..].StartsWith(keyName))
        {
            return false;
        }

        hash = seal.Slice(hashName.Length, HashLength);
        ReadOnlySpan<byte> rest = seal[(hashName.Length + HashLength + keyName.Length)..];
        int keyEnd = rest.IndexOf((byte)'"');
        int signatureStart = rest.LastIndexOf(signatureName);
        if (keyEnd < 0 || !rest[keyEnd..].StartsWith(recordName) || signatureStart < keyEnd + recordName.Length || !rest.EndsWith("\"}"u8))
        {
            return false;
        }

        record = rest[(keyEnd + recordName.Length)..signatureStart];
        return !hash.ContainsAnyExcept(_hashDigits)
            && !rest[..keyEnd].ContainsAnyExcept(_base64)
            && !rest[(signatureStart + signatureName.Length)..^2].ContainsAnyExcept(_base64);
    }

    /// <summary>True when the bytes give the hash, SHA-256 (FIPS 180-4) in lower-case hexadecimal.</summary>
    public static bool Give(ReadOnlySpan<byte> bytes, ReadOnlySpan<byte> hash)
    {
        Span<byte> given = stackalloc byte[SHA256.HashSizeInBytes];
        SHA256.HashData(bytes, given);
        Span<byte> digits = stackalloc byte[HashLength];
        return Convert.TryToHexStringLower(given, digits, out _) && digits.SequenceEqual(hash);
    }
}
