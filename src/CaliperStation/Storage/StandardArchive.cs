using System.Security.Cryptography;
using CaliperStation.Files;

namespace CaliperStation.Storage;

/// <summary>Keeps the exact text of every standard a sitting was begun with, under its hash, so that a sitting or record can be worked on when the file has changed since.</summary>
internal sealed class StandardArchive(string folder)
{
    /// <summary>Keeps a text, flushed to the disk before this returns; the same text twice is one file.</summary>
    /// <exception cref="StoreException">It cannot be written.</exception>
    internal void Keep(string sha256, byte[] text)
    {
        if (Find(sha256) is not null)
        {
            return;
        }

        string path = PathOf(sha256);
        StoreException.Wrap(
            () =>
            {
                Directory.CreateDirectory(folder);
                OwnFile.Replace(path, text);
            },
            e => $"The standard's text cannot be kept in {path}: {e.Message} Free some space, or choose another folder with --store.");
    }

    /// <summary>The text of that hash; null when it is not there or is not that text any more.</summary>
    internal byte[]? Find(string sha256)
    {
        if (sha256.Length != 64 || !sha256.All(char.IsAsciiHexDigitLower))
        {
            return null;   // a name from a journal is no path
        }

        try
        {
            byte[] bytes = File.ReadAllBytes(PathOf(sha256));
            return Convert.ToHexStringLower(SHA256.HashData(bytes)) == sha256 ? bytes : null;
        }
        catch (Exception fault) when (FileFault.Is(fault))
        {
            return null;
        }
    }

    /// <summary>The names of kept texts that are not the texts they are named after, or cannot be read; what is no text of the archive is left alone.</summary>
    internal IReadOnlyList<string> Changed()
    {
        const string Ending = ".toml";
        return Directory.Exists(folder)
            ? [.. Directory.EnumerateFiles(folder, "*" + Ending).Select(file => Path.GetFileName(file)).Where(name => Find(name[..^Ending.Length]) is null).Order(StringComparer.Ordinal)]
            : [];
    }

    private string PathOf(string sha256) => Path.Combine(folder, sha256 + ".toml");
}
