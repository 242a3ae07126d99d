using System.Buffers;
using System.Buffers.Text;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;

namespace CaliperStation.Storage;

/// <summary>The bytes of one journal line.</summary>
/// <remarks>
/// <c>{"n":1,"at":"2026-11-25T01:19:05.123Z","sitting":"…","kind":"…","body":{…},"s":"…","h":"…"}</c> and a line feed. The hash is
/// SHA-256 (FIPS 180-4) over the 64 hexadecimal digits of the line before and this line's bytes before <c>,"h":</c>; the
/// first line follows 64 zeros. The signature is the station's, ECDSA over P-256 and SHA-256 (FIPS 186-5), r and s in base64, of those digits and
/// this line's bytes before <c>,"s":</c>: it covers all events up to this one. Lines of versions before have none. Sitting and kind are letters, digits, <c>.</c>, <c>_</c> and <c>-</c>, so they need no escapes;
/// no byte below 0x20 stands inside a line, so a line with one was never written whole.
/// </remarks>
internal static class JournalFormat
{
    /// <summary>Length of a hash in hexadecimal digits.</summary>
    public const int HashLength = 64;

    /// <summary>Length of <c>,"h":"</c>, the hash and <c>"}</c>.</summary>
    public const int TailLength = 6 + HashLength + 2;

    /// <summary>Longest line with its line feed: a record of 60 readings takes about 20 KB, so this is two hundred of those; a reader's memory stays bounded.</summary>
    public const int MaximumLine = 4 * 1024 * 1024;

    /// <summary>Length of a signature in base64.</summary>
    public const int SignatureDigits = 88;

    /// <summary>Length of <c>,"s":"</c>, the signature and <c>"</c>.</summary>
    private const int SignatureLength = 6 + SignatureDigits + 1;

    private static readonly SearchValues<byte> _hashDigits = SearchValues.Create("0123456789abcdef"u8);
    private static readonly SearchValues<byte> _base64 = SearchValues.Create("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/="u8);
    private static readonly SearchValues<char> _nameCharacters =
        SearchValues.Create("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789._-");

    private static readonly SearchValues<byte> _nameBytes =
        SearchValues.Create("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789._-"u8);

    /// <summary>The hash before the first line.</summary>
    public static string FirstHash { get; } = new('0', HashLength);

    /// <summary>True when the text may stand as a sitting or a kind.</summary>
    public static bool IsName(string text) => text.Length <= 100 && !text.AsSpan().ContainsAnyExcept(_nameCharacters);

    /// <summary>A whole line with its line feed, and what it says.</summary>
    /// <param name="number">From 1.</param>
    /// <param name="at">When.</param>
    /// <param name="sitting">The sitting, or the empty string.</param>
    /// <param name="kind">The kind of event.</param>
    /// <param name="body">One JSON object.</param>
    /// <param name="previousHash">The hash of the line before.</param>
    /// <param name="line">What it says.</param>
    /// <param name="signer">Signs it; null for a line without a signature.</param>
    /// <exception cref="ArgumentException">The kind, sitting or body may not stand in a journal.</exception>
    public static byte[] Write(long number, DateTimeOffset at, string sitting, string kind, string body, string previousHash, out JournalLine line, IRecordSigner? signer = null)
    {
        if (!IsName(sitting) || !IsName(kind) || kind.Length == 0)
        {
            throw new ArgumentException("Sitting and kind are up to 100 letters, digits, points, underscores and dashes.", nameof(sitting));
        }

        string head = string.Create(CultureInfo.InvariantCulture, $"{{\"n\":{number},\"at\":\"{FileWords.Instant(at)}\",\"sitting\":\"{sitting}\",\"kind\":\"{kind}\",\"body\":");
        byte[] bodyBytes = CheckedBody(body);
        int bare = head.Length + bodyBytes.Length;
        int end = bare + (signer is null ? 0 : SignatureLength);
        if (end + TailLength + 1 > MaximumLine)
        {
            throw new ArgumentException("The event is too long for a line of the journal.", nameof(body));
        }

        byte[] bytes = new byte[end + TailLength + 1];
        Encoding.ASCII.GetBytes(head, bytes);
        bodyBytes.CopyTo(bytes.AsSpan(head.Length));
        if (signer is not null)
        {
            Encoding.ASCII.GetBytes($",\"s\":\"{signer.Sign(Joined(previousHash, bytes.AsSpan(0, bare)))}\"", bytes.AsSpan(bare));
        }

        string hash = Hash(previousHash, bytes.AsSpan(0, end));
        Encoding.ASCII.GetBytes($",\"h\":\"{hash}\"}}\n", bytes.AsSpan(end));
        line = new(number, DateTimeOffset.FromUnixTimeMilliseconds(at.ToUnixTimeMilliseconds()), sitting, kind, body, hash);
        return bytes;
    }

    /// <summary>SHA-256 over the hash before and a line's bytes before its own hash, as lower-case hexadecimal.</summary>
    public static string Hash(string previousHash, ReadOnlySpan<byte> head) => Convert.ToHexStringLower(SHA256.HashData(Joined(previousHash, head)));

    /// <summary>True when a line's head, after the line with the hash before, gives the hash in hexadecimal.</summary>
    public static bool HashMatches(string previousHash, ReadOnlySpan<byte> head, ReadOnlySpan<byte> hash) => IsHashOf(Joined(previousHash, head), hash);

    /// <summary>True when these bytes give the hash in hexadecimal.</summary>
    public static bool IsHashOf(ReadOnlySpan<byte> joined, ReadOnlySpan<byte> hash)
    {
        Span<byte> given = stackalloc byte[SHA256.HashSizeInBytes];
        SHA256.HashData(joined, given);
        int at = 0;
        foreach (byte value in given)   // by hand: what makes text of it takes as long as the hash itself where code is compiled for every processor
        {
            if (hash[at] != "0123456789abcdef"u8[value >> 4] || hash[at + 1] != "0123456789abcdef"u8[value & 0xF])
            {
                return false;
            }

            at += 2;
        }

        return true;
    }

    /// <summary>What a hash or a signature of a line is over: the hash before it, and its bytes before the hash or the signature.</summary>
    public static byte[] Joined(string previousHash, ReadOnlySpan<byte> bytes)
    {
        byte[] joined = new byte[HashLength + bytes.Length];
        Join(previousHash, bytes, joined);
        return joined;
    }

    /// <summary>The same, into a place of its length.</summary>
    public static void Join(string previousHash, ReadOnlySpan<byte> bytes, Span<byte> joined)
    {
        Encoding.ASCII.GetBytes(previousHash, joined);
        bytes.CopyTo(joined[HashLength..]);
    }

    /// <summary>Reads a line without its line feed; null when it is not exactly of the shape above. The hash is not checked here.</summary>
    public static JournalLine? Read(ReadOnlySpan<byte> bytes) => TrySplit(bytes, out JournalParts parts) ? parts.ToLine() : null;

    /// <summary>Cuts a line without its line feed into its parts; false when it is not exactly of the shape above. The hash is not checked here.</summary>
    public static bool TrySplit(ReadOnlySpan<byte> bytes, out JournalParts parts) => TrySplit(bytes, checkBody: true, out parts);

    /// <summary>The same; without the check of the body it only begins and ends as one, and its bytes may be anything.</summary>
    public static bool TrySplit(ReadOnlySpan<byte> bytes, bool checkBody, out JournalParts parts)
    {
        parts = default;
        if (bytes.Length < TailLength || !bytes[^TailLength..].StartsWith(",\"h\":\""u8) || !bytes.EndsWith("\"}"u8))
        {
            return false;
        }

        ReadOnlySpan<byte> hash = bytes[^(HashLength + 2)..^2];
        ReadOnlySpan<byte> rest = bytes[..^TailLength];
        ReadOnlySpan<byte> signature = default;
        if (rest.Length > SignatureLength && rest.EndsWith("\""u8) && rest[^SignatureLength..].StartsWith(",\"s\":\""u8))
        {
            signature = rest[^(SignatureLength - 6)..^1];
            rest = rest[..^SignatureLength];
        }

        int bare = rest.Length;
        if (hash.ContainsAnyExcept(_hashDigits)
            || !Skip(ref rest, "{\"n\":"u8) || !Number(ref rest, out long number)
            || !Skip(ref rest, ",\"at\":\""u8) || !InstantOf(ref rest, out DateTimeOffset at)
            || !Skip(ref rest, "\",\"sitting\":\""u8) || !Name(ref rest, out ReadOnlySpan<byte> sitting)
            || !Skip(ref rest, "\",\"kind\":\""u8) || !Name(ref rest, out ReadOnlySpan<byte> kind) || kind.Length == 0
            || !Skip(ref rest, "\",\"body\":"u8) || !rest.StartsWith((byte)'{') || !rest.EndsWith((byte)'}')
            || signature.ContainsAnyExcept(_base64)
            || (checkBody && (rest.ContainsAnyInRange((byte)0, (byte)0x1F) || !System.Text.Unicode.Utf8.IsValid(rest))))
        {
            return false;
        }

        parts = new(number, at, sitting, kind, rest, bytes[..bare], signature, hash);
        return true;
    }

    private static byte[] CheckedBody(string body)
    {
        byte[] bytes;
        try
        {
            bytes = new UTF8Encoding(false, true).GetBytes(body);
            Utf8JsonReader reader = new(bytes);
            bool isObject = reader.Read() && reader.TokenType == JsonTokenType.StartObject;
            while (isObject && reader.Read())
            {
            }

            if (isObject && bytes[0] == '{' && bytes[^1] == '}' && !bytes.AsSpan().ContainsAnyInRange((byte)0, (byte)0x1F))
            {
                return bytes;
            }
        }
        catch (Exception e) when (e is JsonException or EncoderFallbackException)
        {
            throw new ArgumentException("The body of an event is one JSON object.", nameof(body), e);
        }

        throw new ArgumentException("The body of an event is one JSON object on one line.", nameof(body));
    }

    private static bool Skip(ref ReadOnlySpan<byte> rest, ReadOnlySpan<byte> expected)
    {
        bool there = rest.StartsWith(expected);
        rest = there ? rest[expected.Length..] : rest;
        return there;
    }

    private static bool Number(ref ReadOnlySpan<byte> rest, out long number)
    {
        bool there = Utf8Parser.TryParse(rest, out number, out int used) && number > 0 && rest[0] is >= (byte)'1' and <= (byte)'9';
        rest = there ? rest[used..] : rest;
        return there;
    }

    private static bool Name(scoped ref ReadOnlySpan<byte> rest, out ReadOnlySpan<byte> name)
    {
        int end = rest.IndexOf((byte)'"');
        name = end is >= 0 and <= 100 ? rest[..end] : default;
        if (end is < 0 or > 100 || name.ContainsAnyExcept(_nameBytes))
        {
            return false;
        }

        rest = rest[end..];
        return true;
    }

    private static bool InstantOf(ref ReadOnlySpan<byte> rest, out DateTimeOffset at)
    {
        at = default;
        bool there = rest.Length >= FileWords.InstantLength && FileWords.TryInstant(rest[..FileWords.InstantLength], out at);
        rest = there ? rest[FileWords.InstantLength..] : rest;
        return there;
    }
}

/// <summary>The parts of one line's bytes, without a copy of them.</summary>
/// <param name="number">From 1.</param>
/// <param name="at">When, UTC, to the millisecond.</param>
/// <param name="sitting">The sitting's id.</param>
/// <param name="kind">The kind of event.</param>
/// <param name="body">The event, a JSON object in UTF-8.</param>
/// <param name="bare">The line's bytes before its signature, or before its hash where it has none.</param>
/// <param name="signature">Base64; empty where there is none.</param>
/// <param name="hash">The hash the line bears, hexadecimal.</param>
internal readonly ref struct JournalParts(long number, DateTimeOffset at, ReadOnlySpan<byte> sitting, ReadOnlySpan<byte> kind, ReadOnlySpan<byte> body, ReadOnlySpan<byte> bare, ReadOnlySpan<byte> signature, ReadOnlySpan<byte> hash)
{
    public long Number { get; } = number;

    public ReadOnlySpan<byte> Kind { get; } = kind;

    public ReadOnlySpan<byte> Body { get; } = body;

    public ReadOnlySpan<byte> Bare { get; } = bare;

    public ReadOnlySpan<byte> Signature { get; } = signature;

    public ReadOnlySpan<byte> Hash { get; } = hash;

    public DateTimeOffset At { get; } = at;

    private ReadOnlySpan<byte> Sitting { get; } = sitting;

    /// <summary>The line with copies of the parts.</summary>
    public JournalLine ToLine() => new(
        Number, At, Encoding.ASCII.GetString(Sitting), Encoding.ASCII.GetString(Kind), Encoding.UTF8.GetString(Body), Encoding.ASCII.GetString(Hash));
}
