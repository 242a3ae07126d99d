using System.Text;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Files;

/// <summary>Reads and writes files that the user named.</summary>
internal static class GivenFile
{
    private const long LargestFile = 4_000_000;

    /// <summary>Its bytes.</summary>
    /// <exception cref="StationException">Exit 3: it cannot be read or is too large.</exception>
    internal static byte[] ReadBytes(string path)
    {
        string shown = PrintableText.Escape(path);
        try
        {
            using FileStream file = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
            using MemoryStream bytes = new();
            byte[] piece = new byte[64 * 1024];
            for (int read = file.Read(piece); read > 0; read = file.Read(piece))
            {
                bytes.Write(piece, 0, read);
                if (bytes.Length > LargestFile)
                {
                    throw new StationException(ExitCode.BadFile, $"{shown}: larger than {LargestFile / 1_000_000} MB; this is no file of ours.");
                }
            }

            return bytes.ToArray();
        }
        catch (Exception fault) when (fault is FileNotFoundException or DirectoryNotFoundException)
        {
            throw new StationException(ExitCode.BadFile, $"{shown}: there is no such file.", fault);
        }
        catch (Exception fault) when (FileFault.IsOfNamed(fault))
        {
            throw new StationException(ExitCode.BadFile, $"{shown}: cannot be read: {PrintableText.Escape(fault.Message)}", fault);
        }
    }

    /// <summary>Its text.</summary>
    /// <exception cref="StationException">Exit 3: it cannot be read, is too large or is no UTF-8.</exception>
    internal static string ReadText(string path)
    {
        try
        {
            byte[] bytes = ReadBytes(path);
            return new UTF8Encoding(false, throwOnInvalidBytes: true).GetString(bytes).TrimStart('\uFEFF');
        }
        catch (DecoderFallbackException fault)
        {
            throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(path)}: not UTF-8 text (byte {fault.Index}); save it as UTF-8.", fault);
        }
    }

    /// <summary>Writes a file that a user named, onto the disk.</summary>
    /// <param name="path">Its path.</param>
    /// <param name="bytes">All of it.</param>
    /// <param name="mayReplace">True to write over one that is there.</param>
    /// <param name="instead">What to do where one is there, without a point.</param>
    /// <exception cref="StationException">Exit 3: one is there already, or it cannot be written.</exception>
    internal static void Write(string path, ReadOnlySpan<byte> bytes, bool mayReplace, string instead = "")
    {
        try
        {
            using FileStream file = new(path, mayReplace ? FileMode.Create : FileMode.CreateNew, FileAccess.Write, FileShare.Read);
            file.Write(bytes);
            file.Flush(flushToDisk: true);
        }
        catch (IOException fault) when (!mayReplace && Path.Exists(path))
        {
            throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(path)} is there already; {instead}.", fault);
        }
        catch (Exception fault) when (FileFault.IsOfNamed(fault))
        {
            throw new StationException(ExitCode.BadFile, $"{PrintableText.Escape(path)} cannot be written: {PrintableText.Escape(fault.Message)}", fault);
        }
    }
}
