using System.Text;

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
/// only one place was hit: so a single damaged line costs that line and no other.
/// </remarks>
internal sealed class JournalChain
{
    private const int MostCandidates = 8;   // two lines swapped leave four; more damage in a row is told line by line anyway
    private readonly List<string> _before;
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

    /// <summary>True when this line would hold; changes nothing.</summary>
    public bool WouldHold(ReadOnlySpan<byte> bytes) => JournalFormat.Read(bytes) is { } line && line.Number > LastNumber && Follows(line, bytes);

    /// <summary>Takes the next line.</summary>
    public ChainedLine Take(RawLine raw, string file)
    {
        ReadOnlySpan<byte> bytes = raw.Bytes.Span;
        LinePlace place = new(file, raw.Line, raw.Position, bytes.Length);
        JournalLine? line = JournalFormat.Read(bytes);
        if (line is not null && line.Number > LastNumber && (_afterDamage || line.Number == LastNumber + 1) && Follows(line, bytes))
        {
            (LastNumber, LastHash, _afterDamage, _seen) = (line.Number, line.Hash, false, line.Number);
            _before.Clear();
            _before.Add(line.Hash);
            return new(place, line, null);
        }

        JournalDamage damage = Describe(line, file, raw.Line);
        Remember(bytes);
        _seen = Math.Max(line?.Number ?? 0, _seen + (line is null ? 1 : 0));
        _afterDamage = true;
        return new(place, line, damage);
    }

    private bool Follows(JournalLine line, ReadOnlySpan<byte> bytes)
    {
        foreach (string before in _before)
        {
            if (JournalFormat.Hash(before, bytes[..^JournalFormat.TailLength]) == line.Hash)
            {
                return true;
            }
        }

        return false;
    }

    private JournalDamage Describe(JournalLine? line, string file, int lineInFile)
    {
        long expected = _seen + 1;
        return line switch
        {
            null => new(file, lineInFile, DamageKind.Unreadable, "not a line of the journal; it was damaged or put in by hand"),
            _ when line.Number > expected => new(file, lineInFile, DamageKind.Missing, expected == line.Number - 1
                ? $"event {expected} is missing before event {line.Number}"
                : $"events {expected} to {line.Number - 1} are missing before event {line.Number}"),
            _ when line.Number < expected => new(file, lineInFile, DamageKind.OutOfOrder, $"event {line.Number} stands where event {expected} belongs"),
            _ => new(file, lineInFile, DamageKind.Changed, $"event {line.Number} does not agree with its hash; it, or the line before it, was changed"),
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
            if (hash.Length == JournalFormat.HashLength && _before.Count < MostCandidates)
            {
                _before.Add(hash);
            }
        }
    }
}
