using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Records;

/// <summary>Checks records by themselves and as a chain.</summary>
/// <remarks>
/// By itself, a record is whole when its bytes give its hash, and genuine when the signature is over its bytes and the key
/// is known. As a chain, each record names the one before it by number and hash. What each fault looks like: changed, the
/// bytes do not give the hash; missing, numbers that nobody has; out of order, a number that comes after a higher one; inserted,
/// a number twice, or a sound record whose predecessor is not the one it names. A chain cut off at its end shows nothing in
/// itself: the caller says where the chain ended when it was last seen.
/// </remarks>
public static class RecordChain
{
    /// <summary>Everything that is wrong with these records, which should be whole chains, in the order they were filed.</summary>
    /// <param name="filed">Records of one or more chains.</param>
    /// <param name="knownKeys">Public keys whose signature counts, base64.</param>
    /// <param name="heads">Where each chain ended when last seen: number by chain.</param>
    /// <param name="isPart">True for a chain of which only a part is expected, in any order; null when all are whole.</param>
    public static IReadOnlyList<RecordFinding> Verify(
        IEnumerable<FiledRecord> filed, IReadOnlySet<string> knownKeys, IReadOnlyDictionary<string, long>? heads = null, Func<string, bool>? isPart = null)
    {
        List<RecordFinding> findings = [];
        Dictionary<string, List<Link>> chains = [];
        foreach (FiledRecord file in filed)
        {
            findings.AddRange(VerifyOne(file, knownKeys));
            if (file.Sealed is { Record: { } record } seal)
            {
                if (!chains.TryGetValue(record.Chain, out List<Link>? links))
                {
                    chains[record.Chain] = links = [];
                }

                bool sound = seal.IsWhole && knownKeys.Contains(seal.PublicKey);
                links.Add(new Link(file.Where, record.Id, record.Number, record.Previous, seal.Hash, RecordSignature.Hash(seal.Bytes.Span), sound));
            }
        }

        foreach ((string chain, List<Link> links) in chains)
        {
            Follow(links, heads?.GetValueOrDefault(chain) ?? 0, isPart?.Invoke(chain) ?? false, findings);
        }

        foreach ((string chain, long number) in heads ?? new Dictionary<string, long>())
        {
            if (number > 0 && !chains.ContainsKey(chain) && isPart?.Invoke(chain) != true)
            {
                findings.Add(new(FindingKind.Missing, "", "", $"all {number} records of the chain {PrintableText.Escape(chain)} are missing") { Gone = (1, number) });
            }
        }

        return findings;
    }

    /// <summary>What is wrong with one record by itself.</summary>
    public static IEnumerable<RecordFinding> VerifyOne(FiledRecord file, IReadOnlySet<string> knownKeys)
    {
        if (file.Sealed is not { } seal)
        {
            yield return new(FindingKind.Changed, file.Where, "", "this is no sealed record; it was changed or put in by hand");
            yield break;
        }

        string id = PrintableText.Escape(seal.Record?.Id ?? "");
        if (seal.Record is null)
        {
            yield return new(FindingKind.Changed, file.Where, id, $"the record was changed: what is there is {seal.Fault}");
        }
        else if (!seal.IsWhole)
        {
            yield return new(FindingKind.Changed, file.Where, id, $"record {id} was changed: its bytes do not give its hash");
        }
        else if (!seal.IsSigned)
        {
            yield return new(FindingKind.BadSignature, file.Where, id, $"record {id} bears a signature that is not its own");
        }

        if (seal.Record?.Contradiction is { } contradiction)
        {
            yield return new(FindingKind.Contradiction, file.Where, id, $"record {id} contradicts itself: {contradiction}");
        }

        if (!knownKeys.Contains(seal.PublicKey))
        {
            yield return new(FindingKind.UnknownKey, file.Where, id, $"record {id} is signed with a key that is not known here ({RecordSignature.KeyId(seal.PublicKey) ?? "not a key"})");
        }
    }

    private static void Follow(List<Link> links, long head, bool isPart, List<RecordFinding> findings)
    {
        Dictionary<long, Link> byNumber = [];
        long highest = 0;
        foreach (Link link in links)
        {
            if (!byNumber.TryAdd(link.Number, link))
            {
                findings.Add(Told(FindingKind.Inserted, link, $"record {link.Safe} stands at number {link.Number} of its chain, where there is one already ({byNumber[link.Number].Where})"));
            }
            else if (link.Number < highest && !isPart)
            {
                findings.Add(Told(FindingKind.OutOfOrder, link, $"record {link.Safe}, number {link.Number} of its chain, stands after number {highest}"));
            }

            highest = Math.Max(highest, link.Number);
        }

        long expected = 1;
        foreach (Link link in byNumber.Values.OrderBy(link => link.Number))
        {
            if (link.Number > expected && !isPart)
            {
                findings.Add(Told(FindingKind.Missing, link, $"{Numbers(expected, link.Number - 1)} of the chain missing before record {link.Safe}") with { Gone = (expected, link.Number - 1) });
            }

            bool follows = link.Number == 1
                ? link.Previous == Record.NoPrevious
                : !byNumber.TryGetValue(link.Number - 1, out Link? before) || link.Previous == before.Hash || link.Previous == before.Given;
            if (!follows && link.Sound)
            {
                // a changed record was reported above; here both are whole, so one of the two was put in
                findings.Add(Told(FindingKind.Inserted, link, $"record {link.Safe} does not follow from the record before it: one of the two was put in"));
            }

            expected = link.Number + 1;
        }

        if (head >= expected && !isPart)
        {
            findings.Add(new(FindingKind.Missing, "", "", $"{Numbers(expected, head)} at the end of the chain missing") { Gone = (expected, head) });
        }
    }

    private static string Numbers(long first, long last) => first == last ? $"record number {first} is" : $"records number {first} to {last} are";

    private static RecordFinding Told(FindingKind kind, Link link, string words) => new(kind, link.Where, link.Safe, words);

    private sealed record Link(string Where, string Id, long Number, string Previous, string Hash, string Given, bool Sound)
    {
        public string Safe => PrintableText.Escape(Id);
    }
}
