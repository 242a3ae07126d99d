using System.Security.Cryptography;

namespace CaliperStation.Core.Records;

/// <summary>Signs a record's bytes: the station with its key, which lives in the shell; a simulation with whatever gives the same text each time.</summary>
public interface IRecordSigner
{
    /// <summary>The public key: SubjectPublicKeyInfo (RFC 5480), base64.</summary>
    string PublicKey { get; }

    /// <summary>The key's id, that of <see cref="RecordSignature.KeyId"/>; a chain is called after it.</summary>
    string Id { get; }

    /// <summary>ECDSA over P-256 and SHA-256 of the bytes; r and s in 32 bytes each (IEEE P1363), base64.</summary>
    string Sign(ReadOnlySpan<byte> bytes);
}

/// <summary>Checks signatures: ECDSA over P-256 with SHA-256 (FIPS 186-5).</summary>
public static class RecordSignature
{
    [ThreadStatic]
    private static (string? Text, ECDsa? Key) _last;   // a store's records bear one key, and to make it ready takes a third of a check

    private const int PublicKeyLength = 91;
    private const int SignatureLength = 64;

    /// <summary>The head of every P-256 SubjectPublicKeyInfo with an uncompressed point: RFC 5480, 2.1.1 and 2.2.</summary>
    private static ReadOnlySpan<byte> Head =>
    [
        0x30, 0x59, 0x30, 0x13, 0x06, 0x07, 0x2A, 0x86, 0x48, 0xCE, 0x3D, 0x02, 0x01, 0x06, 0x08,
        0x2A, 0x86, 0x48, 0xCE, 0x3D, 0x03, 0x01, 0x07, 0x03, 0x42, 0x00, 0x04,
    ];

    /// <summary>True when the signature of those bytes was made with the key's other half. Text that is no key or no signature is simply false.</summary>
    public static bool Verify(string publicKey, ReadOnlySpan<byte> bytes, string signature) => VerifyHash(publicKey, SHA256.HashData(bytes), signature);

    /// <summary>The same of bytes of which only the hash is at hand, as <see cref="Hash"/> gives it.</summary>
    public static bool VerifyHash(string publicKey, string hash, string signature)
    {
        byte[] bytes = new byte[SHA256.HashSizeInBytes];
        return Convert.FromHexString(hash, bytes, out int read, out int written) == System.Buffers.OperationStatus.Done
            && (read, written) == (hash.Length, bytes.Length) && VerifyHash(publicKey, bytes, signature);
    }

    private static bool VerifyHash(string publicKey, byte[] hash, string signature)
    {
        if (Decode(signature, SignatureLength) is not { } signed)
        {
            return false;
        }

        try
        {
            if (_last.Text != publicKey)
            {
                if (Decode(publicKey, PublicKeyLength) is not { } key || !key.AsSpan().StartsWith(Head))
                {
                    return false;
                }

                ECDsa made = ECDsa.Create();
                made.ImportSubjectPublicKeyInfo(key, out _);
                _last.Key?.Dispose();
                _last = (publicKey, made);
            }

            return _last.Key!.VerifyHash(hash, signed, DSASignatureFormat.IeeeP1363FixedFieldConcatenation);
        }
        catch (CryptographicException)
        {
            return false;   // 64 bytes that are no point of the curve
        }
    }

    /// <summary>The id of a public key: the first 16 hexadecimal digits of SHA-256 over its bytes; null when the text is no P-256 key.</summary>
    public static string? KeyId(string publicKey) =>
        Decode(publicKey, PublicKeyLength) is { } key && key.AsSpan().StartsWith(Head) ? Convert.ToHexStringLower(SHA256.HashData(key))[..16] : null;

    /// <summary>SHA-256 (FIPS 180-4) of some bytes, lower-case hexadecimal.</summary>
    public static string Hash(ReadOnlySpan<byte> bytes) => Convert.ToHexStringLower(SHA256.HashData(bytes));

    /// <summary>The bytes of base64 in its one form: stray bits and white space, which decoders let through, are refused.</summary>
    private static byte[]? Decode(string text, int length)
    {
        byte[] bytes = new byte[length];
        return text.Length == (length + 2) / 3 * 4
            && Convert.TryFromBase64String(text, bytes, out int written) && written == length
            && Convert.ToBase64String(bytes) == text
            ? bytes
            : null;
    }
}
