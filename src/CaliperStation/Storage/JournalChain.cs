using System.Text;
using CaliperStation.Core.Records;

namespace CaliperStation.Storage;

/// <summary>Where a line stands.</summary>
/// <param name="File">The segment.</param>
/// <param name="Line">Its line in that file, from 1.</param>
/// <param name="Position">Its first byte.</param>
/// <param name="Length">Its bytes without the line feed.</param>
internal readonly record struct LinePlace(string File, int Line, long Position, int Length)
{
    /// <inheritdoc />
    public override string ToString() => $"{File}, line {Line}";
}

/// <summary>A line with its standing in the chain.</summary>
/// <param name="Place">Where it stands.</param>
/// <param name="Line">What it says; null when it cannot be read.</param>
/// <param name="Damage">What is wrong, or null when the line is proven by its hash.</param>
internal readonly record struct ChainedLine(LinePlace Place, JournalLine? Line, JournalDamage? Damage)
{
    /// <summary>True when the line is proven.</summary>
    public bool Holds => Damage is null;
}

/// <summary>Follows the chain of hashes from line to line.</summary>
/// <remarks>
/// Rule: a line holds when its own hash follows from a hash that may stand before it, and its number comes next. After a
/// damaged line both the hash it bears and the hash its bytes give are tried, because one of the two is still true when
/// only one place was hit: so a single damaged line costs that line and no other. From the first signed line on every line bears a signature;
/// the last one is over all lines before it, so that one alone shows whether any of them was changed and hashed again.
/// </remarks>
internal sealed class JournalChain
{
    private const int MaxCandidates = 8;   // two lines swapped leave four; more damage in a row is reported line by line anyway
    private readonly List<string> _before;
    private readonly byte[] _signature = new byte[JournalFormat.SignatureDigits];
    private byte[] _signed = [];   // what the signature of the last line that holds is over, and more
    private byte[] _hashed = [];   // what the hash of the line that is looked at is over
    private int _signedLength;     // 0 where the last line that holds bears no signature
    private bool _afterDamage;
    private long _seen;

    /// <summary>A chain that goes on after a line.</summary>
    public JournalChain(long lastNumber, string lastHash)
    {
        _before = [lastHash];
        (LastNumber, LastHash, _seen) = (lastNumber, lastHash, lastNumber);
    }

    /// <summary>The number of the last line that holds.</summary>
    public long LastNumber { get; private set; }

    /// <summary>Its hash.</summary>
    public string LastHash { get; private set; }

    /// <summary>Its instant; the earliest there is before the first line.</summary>
    public DateTimeOffset LastAt { get; private set; }

    /// <summary>True when this line would hold; changes nothing.</summary>
    public bool WouldHold(ReadOnlySpan<byte> bytes) => JournalFormat.TrySplit(bytes, out JournalParts parts) && parts.Number > LastNumber && Before(parts, bytes) is not null;

    /// <summary>Takes the next line.</summary>
    public ChainedLine Next(RawLine raw, string file)
    {
        ReadOnlySpan<byte> bytes = raw.Bytes.Span;
        JournalLine? line = JournalFormat.Read(bytes);
        return new(new(file, raw.Line, raw.Position, bytes.Length), line, Prove(raw, file));
    }

    /// <summary>Takes the next line without keeping what it says: what is wrong with it, or null when it is proven.</summary>
    public JournalDamage? Prove(RawLine raw, string file) => Prove(raw, file, out _);

    /// <summary>The same, and the line's parts.</summary>
    public JournalDamage? Prove(RawLine raw, string file, out JournalParts parts)
    {
        ReadOnlySpan<byte> bytes = raw.Bytes.Span;
        bool isLine = JournalFormat.TrySplit(bytes, out parts);
        string? before = isLine && parts.Number > LastNumber && (_afterDamage || parts.Number == LastNumber + 1) ? Before(parts, bytes) : null;
        bool isPutIn = before is not null && parts.Signature.IsEmpty && IsSigned;
        if (before is not null && !isPutIn)
        {
            Keep(parts);
            (LastNumber, LastHash, LastAt, _afterDamage, _seen) = (parts.Number, Encoding.ASCII.GetString(parts.Hash), parts.At, false, parts.Number);
            _before.Clear();
            _before.Add(LastHash);
            return null;
        }

        long? number = isLine ? parts.Number : null;
        JournalDamage damage = isPutIn
            ? new(file, raw.Line, DamageKind.Changed, $"event {number} bears no signature, though events before it do: it was put in by hand")
            : Describe(number, file, raw.Line);
        Remember(bytes);
        _seen = Math.Max(number ?? 0, _seen + (isLine ? 0 : 1));
        _afterDamage = true;
        return damage;
    }

    /// <summary>True when the last line that holds bears a signature, of whatever worth.</summary>
    public bool IsSigned => _signedLength > 0;

    /// <summary>True when one of these keys signed the last line that holds.</summary>
    /// <param name="keys">Public keys, base64.</param>
    public bool IsSignedBy(IEnumerable<string> keys) => IsSigned && keys.Any(key => RecordSignature.Verify(key, _signed.AsSpan(0, _signedLength), Encoding.ASCII.GetString(_signature)));

    /// <summary>Keeps the signature of a line that holds. It is over what the hash is over, up to the signature itself.</summary>
    private void Keep(JournalParts parts)
    {
        parts.Signature.CopyTo(_signature);
        _signedLength = parts.Signature.IsEmpty ? 0 : JournalFormat.HashLength + parts.Bare.Length;
        (_signed, _hashed) = (_hashed, _signed);
    }

    /// <summary>The hash of those that may stand before a line which the line follows from; null for none.</summary>
    private string? Before(JournalParts parts, ReadOnlySpan<byte> bytes)
    {
        int length = JournalFormat.HashLength + bytes.Length - JournalFormat.TailLength;
        if (_hashed.Length < length)
        {
            _hashed = new byte[2 * length];
        }

        foreach (string before in _before)
        {
            JournalFormat.Join(before, bytes[..^JournalFormat.TailLength], _hashed);
            if (JournalFormat.IsHashOf(_hashed.AsSpan(0, length), parts.Hash))
            {
                return before;
            }
        }

        return null;
    }

    private JournalDamage Describe(long? number, string file, int lineInFile)
    {
        long expected = _seen + 1;
        return number switch
        {
            null => new(file, lineInFile, DamageKind.Unreadable, "not a line of the journal; it was damaged or put in by hand"),
            _ when number > expected => new(file, lineInFile, DamageKind.Missing, expected == number - 1
                ? $"event {expected} is missing before event {number}"
                : $"events {expected} to {number - 1} are missing before event {number}"),
            _ when number < expected => new(file, lineInFile, DamageKind.OutOfOrder, $"event {number} stands where event {expected} belongs"),
            _ => new(file, lineInFile, DamageKind.Changed, $"event {number} does not agree with its hash; it, or the line before it, was changed"),
        };
    }

    private void Remember(ReadOnlySpan<byte> bytes)
    {
        if (bytes.Length < JournalFormat.TailLength)
        {
            return;
        }

        string borne = Encoding.Latin1.GetString(bytes[^(JournalFormat.HashLength + 2)..^2]);
        string given = JournalFormat.Hash(_before[^1], bytes[..^JournalFormat.TailLength]);
        foreach (string hash in (ReadOnlySpan<string>)[given, borne])
        {
            if (hash.Length == JournalFormat.HashLength && _before.Count < MaxCandidates)
            {
                _before.Add(hash);
            }
        }
    }
}
